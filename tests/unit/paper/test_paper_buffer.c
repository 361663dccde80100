#include "support/check.h"

#include <string.h>

#include "pannage/paper.h"
#include "support/failing.h"

static void grows_and_stays_terminated(void **state) {
    (void)state;
    pn_buffer buffer;
    pn_buffer_init(&buffer, &pn_alloc_libc);
    assert_string_equal(pn_buffer_text(&buffer), "");
    for (int i = 0; i < 1000; i++) {
        pn_buffer_addf(&buffer, "%d,", i % 10);
        pn_buffer_add(&buffer, pn_text_of(";"));
    }
    assert_int_equal(buffer.len, 3000);
    assert_int_equal(strlen(pn_buffer_text(&buffer)), 3000);
    assert_memory_equal(pn_buffer_text(&buffer), "0,;1,;2,;", 9);
    assert_int_equal(pn_buffer_status(&buffer, NULL), PN_OK);
    pn_buffer_clear(&buffer);
    assert_string_equal(pn_buffer_text(&buffer), "");
    pn_buffer_addf(&buffer, "again");
    assert_string_equal(pn_buffer_text(&buffer), "again");
    pn_buffer_deinit(&buffer);
    assert_string_equal(pn_buffer_text(&buffer), "");
}

/* Lengths around every doubling of the capacity. */
static void any_length_is_kept_whole(void **state) {
    (void)state;
    char word[1100];
    memset(word, 'x', sizeof word);
    for (size_t len = 0; len < sizeof word; len++) {
        pn_buffer buffer;
        pn_buffer_init(&buffer, &pn_alloc_libc);
        pn_buffer_add(&buffer, (pn_text){word, len});
        pn_buffer_addf(&buffer, "%.*s", (int)len, word);
        assert_int_equal(buffer.len, 2 * len);
        assert_int_equal(strlen(pn_buffer_text(&buffer)), 2 * len);
        pn_buffer_deinit(&buffer);
    }
}

static void tells_once_that_memory_is_out(void **state) {
    (void)state;
    failing limit = {.calls_left = 1};
    pn_alloc alloc = failing_alloc(&limit);
    pn_buffer buffer;
    pn_buffer_init(&buffer, &alloc);
    pn_buffer_addf(&buffer, "kept");
    pn_buffer_addf(&buffer, "%300s", "dropped");
    pn_buffer_addf(&buffer, "dropped too");
    assert_string_equal(pn_buffer_text(&buffer), "kept");
    pn_error err = {0};
    assert_int_equal(pn_buffer_status(&buffer, &err), PN_ENOMEM);
    assert_string_equal(err.message, "out of memory");
    pn_buffer_deinit(&buffer);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grows_and_stays_terminated),
        cmocka_unit_test(any_length_is_kept_whole),
        cmocka_unit_test(tells_once_that_memory_is_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
