/* How hot loops are compiled. gcc on x86-64 Linux makes three versions of a kernel and
 * picks the best one for the machine at start-up, so a portable binary runs at nearly
 * native speed; with -ffp-contract=off all three give the same bits. clang 14 links such
 * functions only within one file and then runs the baseline, so it gets plain functions. */
#ifndef BT_SHAPE_KERNEL_H
#define BT_SHAPE_KERNEL_H

#if defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__) &&                     \
    defined(__gnu_linux__)
#define BT_KERNEL                                                                          \
    __attribute__((target_clones("arch=x86-64-v4", "arch=x86-64-v3", "default")))
#else
#define BT_KERNEL
#endif

#endif
