/* The guide that is built in: it holds, and no danger can leave it. */
#include <time.h>

#include "sheets_support.h"

/* The dangers that the plan of the guide asks for by name, whatever
 * features.yaml lists. */
static const char *const dangers[] = {"death_cap",
                                      "destroying_angel",
                                      "spring_destroying_angel",
                                      "deadly_webcap",
                                      "fools_webcap",
                                      "funeral_bell",
                                      "fatal_dapperling",
                                      "small_dapperlings",
                                      "fools_funnel",
                                      "ivory_funnel",
                                      "livid_pinkgill",
                                      "brown_rollrim",
                                      "panther_cap",
                                      "deadly_fibrecap",
                                      "false_morel",
                                      "yellow_stainer",
                                      "devils_bolete",
                                      "rosy_bolete",
                                      "lurid_bolete",
                                      "scarletina_bolete",
                                      "sulphur_tuft",
                                      "common_inkcap",
                                      "garden_parasol",
                                      "common_earthball",
                                      "hemlock",
                                      "hemlock_water_dropwort",
                                      "fools_parsley",
                                      "cowbane",
                                      "giant_hogweed",
                                      "foxglove",
                                      "lords_and_ladies",
                                      "lily_of_the_valley",
                                      "autumn_crocus",
                                      "monkshood",
                                      "deadly_nightshade",
                                      "woody_nightshade",
                                      "black_nightshade",
                                      "black_bryony",
                                      "white_bryony",
                                      "yew",
                                      "spindle",
                                      "laburnum",
                                      "cherry_laurel",
                                      "dogs_mercury",
                                      "daffodil",
                                      "alder_buckthorn",
                                      "purging_buckthorn",
                                      "horse_chestnut",
                                      "mezereon",
                                      "ragwort"};

static void print_fault(void *ctx, const pn_error *fault) {
    (void)ctx;
    print_message("%s\n", fault->message);
}

static pn_sheets *read_shipped(void) {
    size_t count = 0;
    const pn_sheets_file *files = pn_sheets_embedded(&count);
    pn_sheets *sheets = NULL;
    pn_error err;
    if (pn_sheets_read(&pn_alloc_libc, pn_sheets_embedded_features(), files,
                       count, &sheets, &err) != PN_OK) {
        fail_msg("%s", err.message);
    }
    return sheets;
}

static void nothing_to_mend(void **state) {
    (void)state;
    size_t count = 0;
    const pn_sheets_file *files = pn_sheets_embedded(&count);
    pn_sheets_listener listener = {print_fault, NULL};
    pn_error err = {PN_OK, ""};
    if (pn_sheets_lint(&pn_alloc_libc, pn_sheets_embedded_features(), files,
                       count, &listener, &err) != PN_OK) {
        fail_msg("%s", err.message);
    }
}

static double now_s(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static void the_guide_is_large_enough(void **state) {
    (void)state;
    double start_s = now_s();
    pn_sheets *sheets = read_shipped();
    double took_s = now_s() - start_s;
    const pn_guide *guide = pn_sheets_guide(sheets);
    size_t gathered = 0, danger = 0;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        pn_guide_status status = guide->sheets[k].status;
        danger += pn_guide_is_danger(status);
        gathered += status == PN_GUIDE_GATHERED || status == PN_GUIDE_CAUTION;
    }
    print_message("%zu sheets, %zu gathered, %zu dangers, read in %.1f ms\n",
                  guide->sheet_count, gathered, danger, took_s * 1e3);
    assert_true(gathered >= 90);
    assert_true(danger >= 70);
    pn_sheets_free(sheets);
}

/* Take one sheet away: loading must fail and name it. */
static void no_danger_can_leave(void **state) {
    (void)state;
    size_t count = 0;
    const pn_sheets_file *files = pn_sheets_embedded(&count);
    pn_sheets_file *fewer = calloc(count, sizeof *fewer);
    assert_non_null(fewer);
    for (size_t i = 0; i < COUNT_OF(dangers); i++) {
        char name[80], want[80];
        (void)snprintf(name, sizeof name, "guide/sheets/%s.yaml", dangers[i]);
        (void)snprintf(want, sizeof want, "there is no sheet of '%s'",
                       dangers[i]);
        size_t left = 0;
        for (size_t k = 0; k < count; k++) {
            if (strcmp(files[k].name, name) != 0) {
                fewer[left++] = files[k];
            }
        }
        pn_sheets *sheets = NULL;
        pn_error err = {PN_OK, ""};
        pn_status status =
            pn_sheets_read(&pn_alloc_libc, pn_sheets_embedded_features(), fewer,
                           left, &sheets, &err);
        pn_sheets_free(sheets);
        if (left != count - 1 || status != PN_EPARSE ||
            strstr(err.message, want) == NULL) {
            fail_msg("%s: '%s'", dangers[i], err.message);
        }
    }
    free(fewer);
}

/* Every harmful and deadly sheet is on the list of those that must be there. */
static void the_list_is_whole(void **state) {
    (void)state;
    pn_sheets *sheets = read_shipped();
    const pn_guide *guide = pn_sheets_guide(sheets);
    pn_text features = pn_sheets_embedded_features()->text;
    char *text = calloc(features.len + 1, 1);
    assert_non_null(text);
    memcpy(text, features.at, features.len);
    *strstr(text, "\nfeatures:") = '\0';
    const char *list = strstr(text, "\nrequired:");
    assert_non_null(list);
    for (size_t k = 0; k < guide->sheet_count; k++) {
        char comma[80], end[80];
        (void)snprintf(comma, sizeof comma, " %s,", guide->sheets[k].id);
        (void)snprintf(end, sizeof end, " %s]", guide->sheets[k].id);
        if (pn_guide_is_danger(guide->sheets[k].status) &&
            strstr(list, comma) == NULL && strstr(list, end) == NULL) {
            fail_msg("add %s to 'required' in guide/features.yaml",
                     guide->sheets[k].id);
        }
    }
    free(text);
    pn_sheets_free(sheets);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_to_mend),
        cmocka_unit_test(the_guide_is_large_enough),
        cmocka_unit_test(no_danger_can_leave),
        cmocka_unit_test(the_list_is_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
