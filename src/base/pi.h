/* The ratio of a circle; ISO C has no name for it. */
#ifndef BT_BASE_PI_H
#define BT_BASE_PI_H

#define BT_PI 3.14159265358979323846

#endif
