#include <stdio.h>

#include "command/front.h"
#include "model/season.h"

enum bt_status_code bt_command_check(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_front f;
    const enum bt_status_code opened = bt_front_open(a, o, o->bed, &f);
    if (opened != BT_DONE_WELL)
        return opened;
    const struct bt_garden *g = f.run.garden;
    bt_report_check_begin(&f.out, &f.show, g);
    bool ok = true;
    struct bt_arena *bed_arena = bt_front_arena(1 << 18);
    for (size_t i = 0; i < g->n_beds; i++) {
        if (f.options.bed && f.options.bed != g->bed[i].id)
            continue;
        const struct bt_mark page = bt_arena_mark(f.page);
        const struct bt_mark mark = bt_arena_mark(bed_arena);
        struct bt_budget budget = {0};
        if (bt_season_build(bed_arena, f.run.diag, f.run.handbook, g, i, &budget))
            bt_report_check_bed(&f.out, &f.show, &budget);
        else
            ok = false;
        bt_arena_release(bed_arena, mark);
        bt_arena_release(f.page, page);
    }
    bt_report_check_end(&f.out, f.run.diag);
    bt_arena_free(bed_arena);
    return bt_front_close(&f, ok, BT_NOTE);
}
