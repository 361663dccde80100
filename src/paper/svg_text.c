/* The small change of an SVG document: coordinates, labels, paragraphs. */
#include "paper_internal.h"

#include <math.h>
#include <stdlib.h>

void paper_add_px(pn_buffer *out, double px) {
    /* Whole tenths: no locale and no -0 can get in. A chart is at most
     * 1600 px wide and a few thousand high. */
    long tenths = lround(fmin(fmax(px, -1e6), 1e6) * 10.0);
    pn_buffer_addf(out, "%s%ld", tenths < 0 ? "-" : "", labs(tenths) / 10);
    if (tenths % 10 != 0) {
        pn_buffer_addf(out, ".%ld", labs(tenths) % 10);
    }
}

void paper_add_attr(pn_buffer *out, const char *name, double px) {
    pn_buffer_addf(out, " %s=\"", name);
    paper_add_px(out, px);
    pn_buffer_addf(out, "\"");
}

void paper_label_begin(pn_buffer *out, paper_label label) {
    pn_buffer_addf(out, "<text class=\"%s\" text-anchor=\"%s\"", label.css,
                   label.anchor);
    paper_add_attr(out, "x", label.x);
    paper_add_attr(out, "y", label.y);
    pn_buffer_addf(out, ">");
}

void paper_label_end(pn_buffer *out) {
    pn_buffer_addf(out, "</text>\n");
}

double paper_words_px(const char *words, double type_px) {
    return PAPER_EM_PER_LETTER * type_px *
           (double)paper_columns(pn_text_of(words));
}

double paper_add_paragraph(pn_buffer *out, paper_label label, const char *text,
                           size_t columns, double line_px) {
    pn_text rest = pn_text_of(text);
    while (rest.len > 0) {
        pn_text line = paper_take_line(&rest, columns);
        if (out != NULL) {
            paper_label_begin(out, label);
            paper_add_xml(out, line);
            paper_label_end(out);
        }
        label.y += line_px;
    }
    return label.y;
}
