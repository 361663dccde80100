/* Names come from people and files: whatever their bytes, a chart stays XML
 * and a table keeps its width and gives the terminal no orders. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/paper.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool holds) {
    if (!holds) {
        abort();
    }
}

static void check_table(const char *text, size_t width, bool wrap) {
    static const pn_paper_column columns[] = {{"a", PN_PAPER_RIGHT},
                                              {"b", PN_PAPER_LEFT}};
    const char *const cells[] = {"1", text};
    pn_paper_table_opts opts = {.columns = columns,
                                .column_count = 2,
                                .cells = cells,
                                .row_count = 1,
                                .width = width,
                                .wrap = wrap};
    pn_buffer out;
    pn_buffer_init(&out, &pn_alloc_libc);
    must(pn_paper_table(&opts, &out, NULL) == PN_OK);
    pn_text rest = {out.text, out.len};
    while (rest.len > 0) {
        pn_text line = pn_text_cut(rest, '\n', &rest);
        must(pn_text_columns(line) <= width);
        for (size_t i = 0; i < line.len; i++) {
            must((unsigned char)line.at[i] >= 0x20 && line.at[i] != 0x7F);
        }
    }
    pn_buffer_deinit(&out);
}

static size_t count_bytes(const pn_buffer *out, char byte) {
    size_t count = 0;
    for (size_t i = 0; i < out->len; i++) {
        count += out->text[i] == byte;
    }
    return count;
}

static void check_chart(const char *text, int width_px) {
    const double values[] = {1.0, NAN, 2.0};
    const pn_paper_series series = {text, values, PN_PAPER_INK, PN_PAPER_SOLID,
                                    false};
    const pn_paper_panel panel = {
        .title = text, .unit = text, .series = &series, .series_count = 1};
    pn_paper_chart_opts opts = PN_PAPER_CHART_OPTS_INIT;
    opts.title = text;
    opts.subtitle = text;
    opts.description = text;
    opts.footnote = text;
    opts.day_count = 3;
    opts.panels = &panel;
    opts.panel_count = 1;
    opts.width_px = width_px;
    pn_buffer out;
    pn_buffer_init(&out, &pn_alloc_libc);
    must(pn_paper_line_chart_svg(&opts, &out, NULL) == PN_OK);
    /* no bracket of a name stands bare: every one belongs to a tag */
    must(count_bytes(&out, '<') == count_bytes(&out, '>'));
    for (size_t i = 0; i < out.len; i++) {
        must((unsigned char)out.text[i] >= 0x20 || out.text[i] == '\n');
    }
    pn_buffer_deinit(&out);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size < 2 || size > 4096) {
        return 0;
    }
    char *text = malloc(size);
    if (text == NULL) {
        return 0;
    }
    memcpy(text, data + 1, size - 1);
    text[size - 1] = '\0';
    /* the first column, the gap and the 12 the last column keeps */
    check_table(text, 15U + data[0] % 80U, data[0] > 127);
    check_chart(text, 300 + data[0]);
    free(text);
    return 0;
}
