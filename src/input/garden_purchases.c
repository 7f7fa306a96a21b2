/* purchases.csv: receipts and gifts. Read for reports; nothing of it enters a budget. */
#include <math.h>

#include "input/garden_read.h"

static void read_row(struct bt_gr *g, const struct bt_gfile *f, size_t row)
{
    struct bt_purchase p = {.at = f->csv.row[row].at};
    const struct bt_cell material = bt_gfile_cell(f, row, BT_PU_MATERIAL);
    const struct bt_dim dims[] = {BT_MASS, BT_VOLUME};
    struct bt_accept a = bt_accept_dims(2, dims, 0, HUGE_VAL);
    bt_gfile_date(g, f, row, BT_PU_DATE, &p.date);
    p.supplier = bt_gfile_text(g, f, row, BT_PU_SUPPLIER);
    p.receipt = bt_gfile_text(g, f, row, BT_PU_RECEIPT);
    p.material = bt_gfile_text(g, f, row, BT_PU_MATERIAL);
    if (!p.material) {
        bt_gr_error(g, &material, "material", "what was bought or given", NULL);
        return;
    }
    const struct bt_material *own = bt_gr_own_material(g, p.material);
    const char *key =
        own ? own->like : bt_handbook_key(g->handbook, "materials", p.material);
    bt_gr_accept_measures(g, &a);
    const struct bt_cell amount = bt_gfile_cell(f, row, BT_PU_AMOUNT);
    const struct bt_beside beside = {0, p.material, key, own};
    a.column = f->column[BT_PU_AMOUNT];
    a.header_unit = f->header_unit[BT_PU_AMOUNT];
    if (bt_gr_amount(g, &amount, &a, &beside, &p.amount))
        bt_gr_measure(g, &p.amount, "amount", p.material, key, NULL);
    bt_gfile_money(g, f, row, BT_PU_PAID, &p.paid);
    bt_gfile_money(g, f, row, BT_PU_DELIVERY, &p.delivery);
    bt_gfile_money(g, f, row, BT_PU_DONATED_VALUE, &p.donated_value);
    g->garden->purchase[g->garden->n_purchases++] = p;
}

void bt_garden_read_purchases(struct bt_gr *g, const struct bt_gfile *f)
{
    struct bt_garden *b = g->garden;
    b->purchase = bt_arena_zero(g->arena, (f->csv.n_rows + 1) * sizeof *b->purchase);
    for (size_t r = 0; r < f->csv.n_rows; r++)
        if (!bt_gfile_row_blank(f, r))
            read_row(g, f, r);
}
