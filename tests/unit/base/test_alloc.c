#include "support/check.h"
#include "support/failing.h"

#include <string.h>

static void refuses_overflow(void **state) {
    (void)state;
    assert_null(pn_alloc_array(&pn_alloc_libc, NULL, SIZE_MAX / 4, 8));
    assert_null(pn_alloc_array(&pn_alloc_libc, NULL, 0, 8));
    assert_null(pn_alloc_zeroed(&pn_alloc_libc, SIZE_MAX, 2));
    pn_alloc_free(&pn_alloc_libc, NULL);
}

static pn_status use_arena(const pn_alloc *alloc) {
    pn_arena *arena = NULL;
    pn_status status = pn_arena_new(alloc, &arena, NULL);
    if (status != PN_OK) {
        return status;
    }
    status = PN_ENOMEM;
    for (size_t i = 1; i < 400; i++) {
        double *numbers = pn_arena_array(arena, i, sizeof *numbers);
        char *word = pn_arena_copy(arena, "patch", 5);
        if (numbers == NULL || word == NULL) {
            goto done;
        }
        assert_int_equal((uintptr_t)numbers % _Alignof(max_align_t), 0);
        for (size_t j = 0; j < i; j++) {
            assert_near("zeroed", numbers[j], 0.0, 0.0);
            numbers[j] = 1.0;
        }
        assert_string_equal(word, "patch");
    }
    char *large = pn_arena_array(arena, 1, 1U << 20);
    if (large == NULL) {
        goto done;
    }
    large[(1U << 20) - 1] = 'x';
    pn_alloc as_alloc = pn_arena_alloc(arena);
    char *grows = NULL;
    for (size_t size = 1; size < 5000; size += 700) {
        char *bigger = pn_alloc_array(&as_alloc, grows, size, 1);
        if (bigger == NULL) {
            goto done;
        }
        grows = bigger;
        grows[size - 1] = 'a';
        assert_int_equal(grows[0], 'a');
    }
    pn_alloc_free(&as_alloc, grows);
    status = PN_OK;
done:
    pn_arena_free(arena);
    return status;
}

static void arena_survives_every_failed_allocation(void **state) {
    (void)state;
    pn_status status = PN_ENOMEM;
    int permitted = 0;
    for (; status == PN_ENOMEM; permitted++) {
        failing limit = {.calls_left = permitted};
        pn_alloc alloc = failing_alloc(&limit);
        status = use_arena(&alloc);
    }
    assert_int_equal(status, PN_OK);
    assert_true(permitted > 3);
    pn_arena_free(NULL);
}

static void arena_refuses_overflow(void **state) {
    (void)state;
    pn_arena *arena = NULL;
    assert_int_equal(pn_arena_new(&pn_alloc_libc, &arena, NULL), PN_OK);
    assert_null(pn_arena_array(arena, SIZE_MAX / 2, 4));
    assert_null(pn_arena_array(arena, SIZE_MAX - 3, 1));
    pn_alloc as_alloc = pn_arena_alloc(arena);
    assert_null(pn_alloc_array(&as_alloc, NULL, SIZE_MAX / 2, 1));
    pn_arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(refuses_overflow),
        cmocka_unit_test(arena_survives_every_failed_allocation),
        cmocka_unit_test(arena_refuses_overflow),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
