/* The sources that the figures of this run came from, by walking what its lines rest on. */
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "chance/gauge.h"
#include "report/handbook.h"
#include "report/record.h"

static struct bt_record_source *entry(struct bt_record *r, const char *id)
{
    for (size_t k = 0; k < r->n_sources; k++)
        if (strcmp(r->source[k].id, id) == 0)
            return &r->source[k];
    r->source = bt_arena_grow(r->kept, r->source, &r->source_capacity, r->n_sources,
                              sizeof *r->source);
    r->source[r->n_sources] = (struct bt_record_source){.id = bt_arena_text(r->kept, id)};
    return &r->source[r->n_sources++];
}

void bt_record_add_source(struct bt_record *r, const char *id, enum bt_seen seen)
{
    if (id && *id)
        entry(r, id)->n[seen]++;
}

static void count(struct bt_record *r, const struct bt_node_info *info)
{
    const struct bt_leaf *leaf = info->leaf;
    if (leaf && leaf->source && bt_text_is(leaf->source, "stated"))
        r->n_stated++;
    else if (leaf && leaf->source && *leaf->source)
        entry(r, leaf->source)->n[leaf->seen]++;
    else if (info->row && info->row->source && *info->row->source)
        entry(r, info->row->source)->n[info->row->seen]++;
}

/* Counts what the marked nodes rest on. Nodes refer to earlier ones only: one pass
 * backwards reaches all. */
static void count_below(struct bt_record *r, const struct bt_budget *b, bool *used)
{
    for (size_t i = bt_sheet_size(b->sheet); i-- > 0;) {
        if (!used[i])
            continue;
        const struct bt_node_info *info =
            bt_sheet_node(b->sheet, (struct bt_node){(uint32_t)i});
        for (size_t k = 0; k < info->n_args; k++)
            used[info->arg[k].i] = true;
        count(r, info);
    }
}

static bool *none_used(const struct bt_budget *b)
{
    return bt_arena_zero(bt_sheet_arena(b->sheet), bt_sheet_size(b->sheet) + 1);
}

/* ---- what only some are told ---- */

static void mention(struct bt_record *r, struct bt_record_mentions *to, const char *id,
                    enum bt_seen seen)
{
    if (!id || !*id)
        return;
    to->mention =
        bt_arena_grow(r->kept, to->mention, &to->capacity, to->n, sizeof *to->mention);
    to->mention[to->n++] = (struct bt_record_mention){bt_arena_text(r->kept, id), seen};
}

void bt_record_mention_gauges(struct bt_record *r, const struct bt_budget *b,
                              const struct bt_account_finding *x)
{
    for (size_t k = 0; x && k < x->n_gauges; k++) {
        const struct bt_row *row[2];
        const size_t n = bt_gauge_rows(
            r->handbook, bt_sheet_node(b->sheet, x->gauge[k].leaf)->leaf, row);
        for (size_t i = 0; i < n; i++)
            mention(r, &r->of_measuring, row[i]->source, row[i]->seen);
    }
}

void bt_record_count_mentions(struct bt_record *r, const struct bt_record_mentions *m)
{
    for (size_t k = 0; k < m->n; k++)
        bt_record_add_source(r, m->mention[k].id, m->mention[k].seen);
}

/* ---- by bed ---- */

static void mark_account(const struct bt_account *x, bool *used)
{
    for (size_t i = 0; i < x->n_lines; i++)
        used[x->line[i].node.i] = true;
    if (x->known && x->nutrient == BT_N)
        used[x->left.i] = true;
    for (int k = 0; x->stock && k < BT_BESIDES; k++)
        if (x->stock->has[k])
            used[x->stock->node[k].i] = true;
}

void bt_record_add_sources(struct bt_record *r, const struct bt_budget *b)
{
    bool *used = none_used(b);
    for (size_t k = 0; k < b->n_accounts; k++)
        mark_account(&b->account[k], used);
    for (size_t i = 0; i < b->n_plantings; i++) {
        const struct bt_planting_facts *p = &b->planting[i];
        if (!p->is_legume)
            continue;
        used[p->fixed.i] = used[p->harvested.i] = true; /* what the record says of it */
        used[p->transfer.i] = used[p->residue.i] = true;
    }
    count_below(r, b, used);
    for (size_t k = 0; k < b->n_read; k++)
        bt_record_add_source(r, b->read[k]->source, b->read[k]->seen);
    for (size_t k = 0; k < b->n_cautions; k++)
        mention(r, &r->of_cautions, b->caution[k]->source, b->caution[k]->seen);
}

void bt_record_add_legume_sources(struct bt_record *r, const struct bt_budget *b)
{
    bool *used = none_used(b);
    for (size_t i = 0; i < b->n_legumes; i++) {
        const struct bt_legume_facts *l = &b->legume[i];
        for (int q = 0; q < BT_LEGUME_QUANTITIES; q++)
            if (l->has[q])
                used[l->node[q].i] = true;
        for (size_t k = 0; k < l->n_neighbours; k++)
            used[l->neighbour[k].met_share.i] = true;
    }
    count_below(r, b, used);
}

static int by_name(const void *x, const void *y)
{
    const struct bt_record_source *a = x, *b = y;
    return strcmp(a->id, b->id);
}

static const char *marks(struct bt_arena *a, const struct bt_record_source *s)
{
    const char *text = "";
    for (int k = 0; k <= BT_JUDGEMENT; k++)
        if (s->n[k])
            text = bt_arena_format(a, "%s%s%s", text, *text ? ", " : "",
                                   bt_seen_word((enum bt_seen)k));
    return text;
}

static void put_run(const struct bt_desk_of *t)
{
    const struct bt_record *r = t->record;
    struct bt_arena *a = r->kept;
    const struct bt_table *table = NULL;
    const size_t n = bt_handbook_tables(r->handbook, &table);
    bt_doc_heading(t->doc, 2, "How to get these figures again");
    bt_doc_paragraph(
        t->doc,
        bt_arena_format(a,
                        "Bedtally %s, %zu draws of every uncertain figure, seed "
                        "%" PRIu64 ". The same garden folder, version and seed give "
                        "the same figures. The handbook's tables had these checksums:",
                        r->version, r->chance.samples, r->chance.seed));
    const struct bt_doc_column columns[] = {
        {"Table",    "", false},
        {"Checksum", "", false}
    };
    struct bt_doc_table *x = bt_doc_table(t->doc, "Tables used", 2, columns);
    for (size_t k = 0; k < n; k++) {
        if (!table[k].checksum)
            continue;
        const struct bt_doc_cell row[] = {
            bt_cell_text(table[k].name),
            bt_cell_text(bt_arena_format(a, "%016" PRIx64, table[k].checksum))};
        bt_doc_row(t->doc, x, row);
    }
    struct bt_book_rows rows = {0};
    bt_book_rows_local(&rows, t->show);
    for (size_t k = 0; k < rows.n; k++)
        bt_doc_item(t->doc, bt_arena_format(a, "Local value: %s, %s of table %s: %s",
                                            rows.row[k]->quantity, rows.row[k]->key,
                                            rows.row[k]->table,
                                            bt_book_value_text(a, rows.row[k])));
}

void bt_record_put_sources(const struct bt_desk_of *t)
{
    const struct bt_record *r = t->record;
    struct bt_arena *a = r->kept;
    bt_doc_heading(t->doc, 2, "Sources");
    bt_doc_paragraph(
        t->doc,
        "Every source that a figure of this record rests on, and no other. How a figure is "
        "known: read (seen in the source itself), memory (recalled, not looked up again), "
        "practice (common practice), derived (worked out from others), judgement (the "
        "program's own estimate).");
    const struct bt_doc_column columns[] = {
        {"Short name",      "", false},
        {"Source",          "", false},
        {"How it is known", "", false}
    };
    struct bt_doc_table *x = bt_doc_table(t->doc, "", 3, columns);
    if (r->n_sources > 1)
        qsort(r->source, r->n_sources, sizeof *r->source, by_name);
    for (size_t k = 0; k < r->n_sources; k++) {
        const struct bt_doc_cell row[] = {
            bt_cell_text(r->source[k].id),
            bt_cell_text(bt_arena_text(a, bt_book_source_text(t->show, r->source[k].id))),
            bt_cell_text(marks(a, &r->source[k]))};
        bt_doc_row(t->doc, x, row);
    }
    put_run(t);
}
