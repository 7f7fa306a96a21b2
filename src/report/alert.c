#include "report/alert.h"

#include "report/page.h"

const char *const bt_alert_title = "Mind this first";

void bt_put_alerts(struct bt_out *o, const struct bt_show *w, const struct bt_budget *b)
{
    if (b->n_alerts == 0)
        return;
    bt_put_title(o, w, bt_alert_title);
    for (size_t k = 0; k < b->n_alerts; k++)
        bt_put_wrapped(o, w->arena, "  ! ", bt_text_shown(w->arena, b->alert[k].text));
}

bool bt_was_said(const struct bt_show *w, const struct bt_caution *c)
{
    const struct bt_caution *all;
    const size_t n = w->said ? bt_handbook_cautions(w->handbook, &all) : 0;
    for (size_t i = 0; c->of_garden && i < n; i++) {
        if (&all[i] != c)
            continue;
        const bool before = w->said[i];
        w->said[i] = true;
        return before;
    }
    return false;
}
