#include "support/check.h"

#include <string.h>

#include "paper/paper_internal.h"

#define REPLACED "\xEF\xBF\xBD"

static void text_is_made_safe(void **state) {
    (void)state;
    static const struct {
        const char *name, *text, *clean, *xml;
    } cases[] = {
        {"plain", "oak", "oak", "oak"},
        {"two, three and four bytes", "\u00e9\u20ac\U0001F344",
         "\u00e9\u20ac\U0001F344", "\u00e9\u20ac\U0001F344"},
        {"markup", "a<b>&\"'", "a<b>&\"'", "a&lt;b&gt;&amp;&quot;'"},
        {"terminal command", "\033[2Jx", REPLACED "[2Jx", REPLACED "[2Jx"},
        {"C1 control",
         "\xC2\x9B"
         "2J",
         REPLACED "2J", REPLACED "2J"},
        {"line feed", "a\nb", "a" REPLACED "b", "a" REPLACED "b"},
        {"line separator", "\u2028", REPLACED, REPLACED},
        {"right-to-left override", "\u202e", REPLACED, REPLACED},
        {"stray continuation", "\x80", REPLACED, REPLACED},
        {"cut sequence", "a\xE2\x82", "a" REPLACED REPLACED,
         "a" REPLACED REPLACED},
        {"overlong", "\xC0\xAF", REPLACED REPLACED, REPLACED REPLACED},
        {"overlong of three", "\xE0\x80\xAF", REPLACED REPLACED REPLACED,
         REPLACED REPLACED REPLACED},
        {"surrogate", "\xED\xA0\x80", REPLACED REPLACED REPLACED,
         REPLACED REPLACED REPLACED},
        {"beyond Unicode", "\xF4\x90\x80\x80",
         REPLACED REPLACED REPLACED REPLACED,
         REPLACED REPLACED REPLACED REPLACED},
        {"not for XML", "\xEF\xBF\xBF", REPLACED, REPLACED},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_buffer buffer;
        pn_buffer_init(&buffer, &pn_alloc_libc);
        print_message("%s\n", cases[i].name);
        paper_add_clean(&buffer, pn_text_of(cases[i].text));
        assert_string_equal(pn_buffer_text(&buffer), cases[i].clean);
        assert_int_equal(paper_columns(pn_text_of(cases[i].text)),
                         pn_text_columns(pn_text_of(cases[i].clean)));
        pn_buffer_clear(&buffer);
        paper_add_xml_string(&buffer, cases[i].text);
        assert_string_equal(pn_buffer_text(&buffer), cases[i].xml);
        pn_buffer_deinit(&buffer);
    }
}

static void lines_break_at_blanks(void **state) {
    (void)state;
    static const struct {
        const char *name, *text, *want; /* lines joined by | */
        size_t columns;
    } cases[] = {
        {"fits", "a bc", "a bc", 4},
        {"breaks at the last blank that fits", "a bc def", "a bc|def", 5},
        {"line that ends at a blank", "abc def", "abc|def", 3},
        {"many blanks", "a    b", "a|b", 3},
        {"long word", "abcdefg", "abc|def|g", 3},
        {"long word after a short one", "a bcdefgh", "a|bcd|efg|h", 3},
        {"accents are one column", "\u00e9\u00e9 \u00e9", "\u00e9\u00e9|\u00e9",
         2},
        {"one column", "ab c", "a|b|c", 1},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        print_message("%s\n", cases[i].name);
        char got[64];
        pn_str joined = pn_str_in(got, sizeof got);
        pn_text rest = pn_text_of(cases[i].text);
        while (rest.len > 0) {
            pn_text line = paper_take_line(&rest, cases[i].columns);
            pn_str_addf(&joined, "%s%.*s", joined.len > 0 ? "|" : "",
                        (int)line.len, line.at);
        }
        assert_string_equal(got, cases[i].want);
    }
}

/* Whatever the bytes, lines are not too wide and the work ends. */
static void any_bytes_break_into_lines(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(20260914);
    for (int round = 0; round < 2000; round++) {
        char bytes[48];
        for (size_t i = 0; i < sizeof bytes; i++) {
            uint64_t draw = pn_random_u64(&random);
            bytes[i] = (char)(draw % 3 == 0 ? ' ' : (draw >> 8U) & 0xFFU);
        }
        pn_text rest = {bytes, sizeof bytes};
        size_t columns = 1 + pn_random_u64(&random) % 12;
        for (size_t lines = 0; rest.len > 0; lines++) {
            assert_true(lines <= sizeof bytes);
            pn_text line = paper_take_line(&rest, columns);
            assert_true(paper_columns(line) <= columns);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_is_made_safe),
        cmocka_unit_test(lines_break_at_blanks),
        cmocka_unit_test(any_bytes_break_into_lines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
