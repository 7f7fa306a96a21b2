/* The document and its writers: what somebody typed comes out as text in every format. */
#include "check.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "report/doc.h"

static void no_memory(void *context)
{
    (void)context;
    abort();
}

#define HOSTILE "<b>=1|2 & \"q\" \x01\xE2\x80\xAE*x*"

/* One block of each kind, each with a hostile text. */
static struct bt_doc *sample(struct bt_arena *a)
{
    static const struct bt_doc_column column[] = {
        {HOSTILE, "",  false},
        {"Cost",  "$", true },
    };
    static const struct bt_doc_segment part[] = {
        {HOSTILE,   "2 oz",  2 },
        {"tied up", "-1 oz", -1}
    };
    static const struct bt_doc_bar bar = {HOSTILE, "1 oz", 2, part, true, 0.5, 3};
    static const struct bt_doc_chart chart = {HOSTILE, "What is drawn", "oz", 1, &bar};
    struct bt_doc *d = bt_doc_new(a, HOSTILE, "record", "0");
    bt_doc_heading(d, 1, HOSTILE);
    bt_doc_heading(d, 2, "Second");
    bt_doc_paragraph(d, HOSTILE);
    bt_doc_note(d, HOSTILE);
    bt_doc_item(d, HOSTILE);
    bt_doc_item(d, "- 1. two");
    bt_doc_tick(d, HOSTILE);
    bt_doc_blank(d, HOSTILE);
    struct bt_doc_table *t = bt_doc_table(d, HOSTILE, 2, column);
    const struct bt_doc_cell row[] = {bt_cell_text("=2+3"), bt_cell_number("-2.50", -2.5)};
    const struct bt_doc_cell sum[] = {bt_cell_text("All"), bt_cell_blank()};
    bt_doc_row(d, t, row);
    bt_doc_sum(d, t, sum);
    bt_doc_chart(d, &chart);
    bt_doc_page(d);
    return d;
}

static char *written(struct bt_arena *a, enum bt_doc_format format)
{
    FILE *f = tmpfile();
    assert_non_null(f);
    struct bt_out o = bt_out_stream(f);
    bt_doc_write(&o, sample(a), format);
    assert_true(bt_out_done(&o));
    const long n = ftell(f);
    assert_true(n > 0);
    char *text = bt_arena_zero(a, (size_t)n + 1);
    rewind(f);
    assert_int_equal(fread(text, 1, (size_t)n, f), n);
    fclose(f);
    return text;
}

static void html(void **state)
{
    char *text = written(*state, BT_DOC_HTML);
    assert_null(strstr(text, "<b>="));
    assert_non_null(strstr(text, "&lt;b&gt;=1|2 &amp; "));
    assert_null(strchr(text, '\x01'));
    assert_null(strstr(text, "\xE2\x80\xAE"));
    assert_non_null(strstr(text, "<meta charset=\"utf-8\"/>"));
    assert_non_null(strstr(text, "<td class=\"n\"></td>"));
    assert_null(strstr(text, "<td/>"));
    assert_non_null(strstr(text, "<desc id=\"d"));
    assert_non_null(strstr(text, "tr.sum>*")); /* the style is not escaped */
    assert_non_null(strstr(text, "<input type=\"checkbox\"/>"));
}

static char *page_of(struct bt_arena *a, const struct bt_doc *d, enum bt_doc_format format)
{
    FILE *f = tmpfile();
    assert_non_null(f);
    struct bt_out o = bt_out_stream(f);
    bt_doc_write(&o, d, format);
    assert_true(bt_out_done(&o));
    char *text = bt_arena_zero(a, (size_t)ftell(f) + 1);
    rewind(f);
    assert_true(fread(text, 1, 1000000, f) > 0);
    fclose(f);
    return text;
}

#define SHALOM "\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D"

/* Letters from right to left say so; a word wider than a column may break; a date does not;
 * first cells head their rows. */
static void html_cells(void **state)
{
    static const struct bt_doc_column column[] = {
        {"Bed",  "", false},
        {"When", "", false},
        {"What", "", false}
    };
    struct bt_doc *d = bt_doc_new(*state, "t", "record", "0");
    struct bt_doc_table *t = bt_doc_table(d, "", 3, column);
    const struct bt_doc_cell row[] = {bt_cell_text(SHALOM), bt_cell_text("2026-04-28"),
                                      bt_cell_text("abcdefghijklmnopqrstuvwxyzabcdefgh")};
    bt_doc_row(d, t, row);
    bt_doc_paragraph(d, SHALOM);
    char *text = page_of(*state, d, BT_DOC_HTML);
    assert_non_null(strstr(text, "<th scope=\"row\" dir=\"auto\">" SHALOM "</th>"));
    assert_non_null(strstr(text, "<td class=\"d\">2026-04-28</td>"));
    assert_non_null(strstr(text, "<td class=\"long\">abc"));
    assert_non_null(strstr(text, "<p dir=\"auto\">" SHALOM "</p>"));
}

/* Parts too narrow for their number have it above them, none on another, all in the
 * picture. */
static void narrow_parts(void **state)
{
    enum { N = 12 };
    struct bt_doc_segment part[N];
    for (int k = 0; k < N; k++)
        part[k] = (struct bt_doc_segment){"part", "0.1 oz", k == N - 1 ? 100 : 0.1};
    part[3].value = -0.2;
    const struct bt_doc_bar bar = {"To have", "101 oz", N, part, true, 90, 110};
    const struct bt_doc_chart chart = {"Nitrogen", "What is drawn", "oz", 1, &bar};
    struct bt_doc *d = bt_doc_new(*state, "t", "record", "0");
    bt_doc_chart(d, &chart);
    const char *text = page_of(*state, d, BT_DOC_HTML);
    double last = 0;
    int numbers = 0;
    for (const char *at = strstr(text, "class=\"small\""); at;
         at = strstr(at + 1, "class=\"small\"")) {
        const double x = strtod(strstr(at, " x=\"") + 4, NULL);
        assert_true(x >= last + 7 && x <= 520);
        last = x;
        numbers++;
    }
    assert_int_equal(numbers, N - 1);
    assert_non_null(strstr(text, ">9 times in 10 between the ends</text>"));
    assert_non_null(strstr(text, ">scale in oz</text>"));
}

static void markdown(void **state)
{
    char *text = written(*state, BT_DOC_MARKDOWN);
    assert_non_null(strstr(text, "# \\<b\\>=1\\|2 \\& \"q\" ??\\*x\\*\n"));
    assert_non_null(strstr(text, "- \\- 1. two\n"));
    assert_non_null(strstr(text, "- [ ] \\<b"));
    assert_non_null(strstr(text, "| --- | ---: |\n"));
    assert_non_null(strstr(text, "| =2+3 | -2.50 |\n"));
    assert_non_null(strstr(text, "| **All** |  |\n"));
}

static void csv(void **state)
{
    char *text = written(*state, BT_DOC_CSV);
    assert_non_null(strstr(text, "\"Second\",\"row\",\"'=2+3\",\"-2.50\"\r\n"));
    assert_non_null(strstr(text, "\"Second\",\"total\",\"All\",\"\"\r\n"));
    assert_non_null(strstr(text, "\"<b>=1|2 & \"\"q\"\" ??*x*\""));
}

/* Each sign with which a spreadsheet begins a formula; tab and line end become `?`. */
static void csv_guards(void **state)
{
    static const char *const begins[] = {"=1", "+1", "-1", "@a", "\t=1", "\r=1"};
    static const char *const written_as[] = {"\"'=1\"", "\"'+1\"", "\"'-1\"",
                                             "\"'@a\"", "\"?=1\"", "\"?=1\""};
    static const struct bt_doc_column column[] = {
        {"A", "", false},
        {"B", "", true }
    };
    for (size_t k = 0; k < sizeof begins / sizeof *begins; k++) {
        struct bt_doc *d = bt_doc_new(*state, "t", "record", "0");
        struct bt_doc_table *t = bt_doc_table(d, "", 2, column);
        const struct bt_doc_cell row[] = {bt_cell_text(begins[k]),
                                          bt_cell_number("-3", -3)};
        bt_doc_row(d, t, row);
        const char *text = page_of(*state, d, BT_DOC_CSV);
        const char *want = bt_arena_format(*state, "%s,\"-3\"\r\n", written_as[k]);
        if (!strstr(text, want))
            fail_msg("%s is not in %s", want, text);
    }
}

static void json(void **state)
{
    json_error_t error;
    json_t *root = json_loads(written(*state, BT_DOC_JSON), 0, &error);
    assert_non_null(root);
    const json_t *blocks = json_object_get(root, "blocks");
    assert_int_equal(json_array_size(blocks), 10);
    const json_t *table = json_array_get(blocks, 7);
    const json_t *row = json_array_get(json_object_get(table, "rows"), 0);
    check_close(json_real_value(json_object_get(json_array_get(row, 1), "value")), -2.5,
                1e-12, "as put in");
    const json_t *sum = json_array_get(json_object_get(table, "rows"), 1);
    assert_true(json_is_null(json_array_get(sum, 1)));
    json_decref(root);
}

static void formats(void **state)
{
    enum bt_doc_format f = BT_DOC_JSON;
    /* Every form has its word and its writer. */
    for (int k = 0; k < BT_DOC_FORMATS; k++) {
        assert_non_null(bt_doc_words[k]);
        assert_true(bt_doc_format_of(bt_doc_words[k], &f));
        assert_int_equal(f, k);
        assert_true(*written(*state, f) != '\0');
    }
    assert_null(bt_doc_words[BT_DOC_FORMATS]);
    const char *endings = bt_doc_endings(*state);
    assert_int_equal(strncmp(endings, ".html, .md, ", 12), 0);
    assert_non_null(strstr(endings, " or ."));
    assert_true(bt_doc_format_of("a.b/record.HTML", &f));
    assert_int_equal(f, BT_DOC_HTML);
    assert_true(bt_doc_format_of("md", &f));
    assert_int_equal(f, BT_DOC_MARKDOWN);
    assert_false(bt_doc_format_of("record.docx", &f));
    assert_false(bt_doc_format_of("record", &f));
}

static int begin(void **state)
{
    *state = bt_arena_new(64, no_memory, NULL);
    return *state ? 0 : -1;
}

static int end(void **state)
{
    bt_arena_free(*state);
    return 0;
}

int main(void)
{
    const struct CMUnitTest t[] = {
        cmocka_unit_test_setup_teardown(html, begin, end),
        cmocka_unit_test_setup_teardown(markdown, begin, end),
        cmocka_unit_test_setup_teardown(csv, begin, end),
        cmocka_unit_test_setup_teardown(csv_guards, begin, end),
        cmocka_unit_test_setup_teardown(html_cells, begin, end),
        cmocka_unit_test_setup_teardown(narrow_parts, begin, end),
        cmocka_unit_test_setup_teardown(json, begin, end),
        cmocka_unit_test_setup_teardown(formats, begin, end),
    };
    return cmocka_run_group_tests(t, NULL, NULL);
}
