#include "command/help.h"

void bt_help_program(struct bt_out *o, size_t n, const struct bt_command *commands)
{
    bt_put(
        o,
        "bedtally: will each bed of a mixed garden have enough nitrogen this season?\n\n");
    bt_put(o, "usage: bedtally COMMAND ...\n\n");
    for (size_t i = 0; i < n; i++)
        bt_put(o, "  %-8s %-20s %s\n", commands[i].name, commands[i].args,
               commands[i].summary);
    bt_put(o,
           "\n  bedtally COMMAND --help   what a command does and takes\n"
           "  bedtally --version        which version this is\n\n"
           "A garden is a folder of CSV files; `bedtally new DIR` starts one.\n"
           "Answers go to standard output, messages to standard error. The exit status is\n"
           "0 done, 1 the data has problems, 2 wrong use, 3 the machine failed.\n");
}

void bt_help_command(struct bt_arena *a, struct bt_out *o, const struct bt_command *c)
{
    bt_put(o, "bedtally %s: %s\n\n", c->name, c->summary);
    bt_put(o, "usage: bedtally %s %s [options]\n\n%s\n\noptions:\n", c->name, c->args,
           c->about);
    bt_options_help(a, o, c->options | BT_OPT_HELP);
    bt_put(o, "\nexample:\n%s\n", c->example);
}
