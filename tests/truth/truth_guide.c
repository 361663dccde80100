/* The proof over the guide that ships. Of every kind, specimens are drawn from
 * its own sheet and looked at by somebody who wants each gathered kind in turn:
 *
 *   perfect   the commonest of everything: its own gate must open, unless the
 *             kind is for experts only
 *   must see  any single must-see answer taken away, or made "probable" or
 *             "unsure": the gate must be shut
 *   drawn     from the shares: without a slip, with 1 in 20, and with 1 in 10
 *             answers replaced by any other state, or a measure by 0.6 to 1.6
 *             times. Each in three ways:
 *     told    everything that its sheet describes is answered
 *     least   what must be seen of the wanted kind is answered, no more
 *     picked  whatever speaks against the kind that is wanted is kept back, as
 *             somebody does who wants his dinner
 *     filled  picked, and what the sheet of the dangerous kind is silent about
 *             is answered as the wanted kind would have it
 *
 *   held out  the dangerous kind is taken out of the guide, as when the thing
 * in the hand is in no guide; told, without a slip. Reported.
 *
 * No harmful or deadly specimen may pass any gate: without a slip, in no way;
 * at 1 in 20, told and least. The rest is reported: who keeps back what speaks
 * against his dinner, and errs besides, cannot be helped by any rule. Experts'
 * gates are tried as experts.
 *   truth_guide [specimens of each dangerous kind, 200]
 * Ends with one line of JSON; exit code 1 when the proof fails. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/check.h"
#include "pannage/sheets.h"
#include "support/specimens.h"

enum { KINDS_MAX = 1024 };

enum { RATES = 3 };
static const double rates[RATES] = {0.0, 0.05, 0.10};

typedef enum way { TOLD, LEAST, PICKED, FILLED, WAYS } way;
static const char *const way_names[WAYS] = {"told", "least", "picked",
                                            "filled"};

typedef struct tally {
    size_t dangerous, passed; /* specimens */
    size_t of_pair[KINDS_MAX][KINDS_MAX];
    size_t own, own_open; /* of gathered kinds, exact only */
    size_t confused;      /* gathered specimens passing as another */
} tally;

static const pn_check *check;
static const pn_guide *guide;
static tally tallies[RATES][WAYS];
static tally held_out;
static int faults;

static bool is_gathered(size_t k) {
    pn_guide_status status = guide->sheets[k].status;
    return status == PN_GUIDE_GATHERED || status == PN_GUIDE_CAUTION;
}

static bool is_danger(size_t k) {
    return pn_guide_is_danger(guide->sheets[k].status);
}

static bool is_inseparable(const pn_sheet *sheet) {
    for (size_t i = 0; i < sheet->lookalike_count; i++) {
        if (sheet->lookalikes[i].inseparable) {
            return true;
        }
    }
    return false;
}

static void must(pn_status status, const pn_error *err) {
    if (status != PN_OK) {
        fprintf(stderr, "truth_guide: %s\n", err->message);
        exit(2);
    }
}

static pn_check_session *session_of(const answers *set) {
    pn_check_context context = {.beginner = false};
    pn_check_session *session = NULL;
    pn_error err;
    must(pn_check_session_new(check, &context, &session, &err), &err);
    must(pn_check_answer_all(session, set->at, set->count, &err), &err);
    return session;
}

static bool opens(const answers *set, size_t k) {
    pn_check_session *session = session_of(set);
    bool open = pn_check_gate(session, k, NULL, 0) == 0;
    pn_check_session_free(session);
    return open;
}

/* ---- perfect, and must see -------------------------------------------------
 */

static void tell_shut(const answers *set, size_t k) {
    pn_gate_open why[512];
    pn_check_session *session = session_of(set);
    size_t count = pn_check_gate(session, k, why, 512);
    printf("  %-24s shut:", guide->sheets[k].id);
    for (size_t i = 0; i < count && i < 8; i++) {
        printf(" %s %s;", pn_gate_reason_name(why[i].reason),
               why[i].feature != PN_GUIDE_NONE
                   ? guide->features[why[i].feature].id
               : why[i].sheet != PN_GUIDE_NONE ? guide->sheets[why[i].sheet].id
                                               : "");
    }
    printf(" (%zu)\n", count);
    pn_check_session_free(session);
}

static void try_must_see(const answers *whole, size_t k) {
    const pn_sheet *sheet = &guide->sheets[k];
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        for (int how = 0; how < 3; how++) {
            answers set = *whole;
            for (size_t j = 0; j < set.count; j++) {
                if (set.at[j].feature != sheet->must_see[i]) {
                    continue;
                }
                set.at[j].certainty = how == 1 ? PN_PROBABLE : PN_UNSURE;
                if (how == 0) {
                    set.at[j] = set.at[--set.count];
                }
                break;
            }
            if (opens(&set, k)) {
                printf("  %s opens without %s\n", sheet->id,
                       guide->features[sheet->must_see[i]].id);
                faults++;
            }
        }
    }
}

static size_t try_perfect(void) {
    size_t opened = 0;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        answers set;
        if (!is_gathered(k)) {
            continue;
        }
        observe(guide, &guide->sheets[k], NULL, &set);
        bool open = opens(&set, k);
        opened += open;
        if (open) {
            try_must_see(&set, k);
            if (is_inseparable(&guide->sheets[k])) {
                printf("  %s opens, though inseparable\n", guide->sheets[k].id);
                faults++;
            }
        } else {
            tell_shut(&set, k);
            faults += !guide->sheets[k].expert_only;
        }
    }
    return opened;
}

/* Without all of it no gate opens; try_must_see() proves that. */
static bool has_must_see(const answers *set, size_t g) {
    const pn_sheet *sheet = &guide->sheets[g];
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        if (answer_of(set, sheet->must_see[i]) == NULL) {
            return false;
        }
    }
    return true;
}

/* Answered, or what the sheet of k is silent about though it applies. */
static bool may_have_must_see(const answers *set, size_t k, size_t g) {
    const pn_sheet *of = &guide->sheets[k];
    const pn_sheet *sheet = &guide->sheets[g];
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        size_t f = sheet->must_see[i];
        if (answer_of(set, f) == NULL && (pn_sheet_trait(of, f) != NULL ||
                                          !pn_sheet_applies(guide, of, f))) {
            return false;
        }
    }
    return true;
}

/* ---- drawn ---------------------------------------------------------------
 */

static void count_pass(tally *t, size_t k, bool any) {
    t->dangerous += is_danger(k);
    t->passed += is_danger(k) && any;
    t->own += is_gathered(k);
    t->confused += is_gathered(k) && any;
}

static void try_told(const answers *set, size_t k, tally *t) {
    pn_check_session *session = session_of(set);
    bool any = false;
    for (size_t g = 0; g < guide->sheet_count; g++) {
        if (is_gathered(g) && has_must_see(set, g) &&
            pn_check_gate(session, g, NULL, 0) == 0) {
            t->own_open += g == k;
            t->of_pair[k][g]++;
            any = any || g != k;
        }
    }
    pn_check_session_free(session);
    count_pass(t, k, any);
}

static bool speaks_against(const pn_gate_open *why, size_t count,
                           size_t feature) {
    for (size_t i = 0; i < count; i++) {
        if (why[i].reason == PN_GATE_DISAGREES && why[i].feature == feature) {
            return true;
        }
    }
    return false;
}

/* Without what speaks against g; false when one of it must be seen. */
static bool pick(const pn_check_session *session, const answers *set, size_t g,
                 answers *out) {
    pn_gate_open why[512];
    const pn_sheet *sheet = &guide->sheets[g];
    size_t count = pn_check_gate(session, g, why, 512);
    count = count < 512 ? count : 512;
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        if (speaks_against(why, count, sheet->must_see[i])) {
            return false;
        }
    }
    out->count = 0;
    for (size_t i = 0; i < set->count; i++) {
        if (!speaks_against(why, count, set->at[i].feature)) {
            out->at[out->count++] = set->at[i];
        }
    }
    return true;
}

static void keep_must_see(const answers *set, const pn_sheet *sheet,
                          answers *out) {
    out->count = 0;
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        const pn_answer *a = answer_of(set, sheet->must_see[i]);
        if (a != NULL) {
            out->at[out->count++] = *a;
        }
    }
}

static void try_picked(const answers *set, size_t k, tally *of_way) {
    pn_check_session *session = session_of(set);
    bool any[WAYS] = {false};
    for (size_t g = 0; g < guide->sheet_count; g++) {
        answers picked;
        if (!is_gathered(g) || is_inseparable(&guide->sheets[g]) ||
            !may_have_must_see(set, k, g) || !pick(session, set, g, &picked)) {
            continue;
        }
        for (way w = LEAST; w < WAYS; w++) {
            answers least;
            if (w == LEAST) {
                keep_must_see(&picked, &guide->sheets[g], &least);
            } else if (w == FILLED) {
                add_silent(guide, &picked, &guide->sheets[k],
                           &guide->sheets[g]);
            }
            bool open = opens(w == LEAST ? &least : &picked, g);
            of_way[w].of_pair[k][g] += open;
            any[w] = any[w] || open;
        }
    }
    pn_check_session_free(session);
    for (way w = LEAST; w < WAYS; w++) {
        count_pass(&of_way[w], k, any[w]);
    }
}

static void try_kind(size_t k, size_t count) {
    for (size_t i = 0; i < count; i++) {
        pn_random random =
            pn_random_seeded(UINT64_C(20261125) + (uint64_t)k * 100003U + i);
        answers exact;
        observe(guide, &guide->sheets[k], &random, &exact);
        for (size_t r = 0; r < RATES; r++) {
            answers seen = exact;
            make_wrong(guide, &seen, rates[r], &random);
            try_told(&seen, k, &tallies[r][TOLD]);
            if (is_danger(k)) {
                try_picked(&seen, k, tallies[r]);
            }
        }
    }
}

/* ---- held out ------------------------------------------------------------
 */

typedef struct fewer {
    pn_guide guide;
    pn_sheet sheets[KINDS_MAX];
    pn_lookalike looks[KINDS_MAX * PN_GUIDE_LIST_MAX];
    size_t look_count;
} fewer;

static void copy_without(const pn_sheet *from, size_t out, fewer *to) {
    pn_sheet *sheet = &to->sheets[to->guide.sheet_count++];
    *sheet = *from;
    sheet->lookalikes = &to->looks[to->look_count];
    sheet->lookalike_count = 0;
    for (size_t i = 0; i < from->lookalike_count; i++) {
        pn_lookalike look = from->lookalikes[i];
        if (look.sheet != out) {
            look.sheet -= look.sheet > out;
            to->looks[to->look_count++] = look;
            sheet->lookalike_count++;
        }
    }
}

/* Specimens of k in a guide that does not know it; of_pair counts by the
 * sheets of the whole guide. */
static void hold_out(size_t k, size_t each, fewer *room, tally *t) {
    const pn_guide *whole = guide;
    const pn_check *whole_check = check;
    pn_check *made = NULL;
    pn_error err;
    *room = (fewer){.guide = *whole};
    room->guide.sheet_count = 0;
    room->guide.sheets = room->sheets;
    for (size_t i = 0; i < whole->sheet_count; i++) {
        if (i != k) {
            copy_without(&whole->sheets[i], k, room);
        }
    }
    must(pn_check_new(&pn_alloc_libc, &room->guide, &made, &err), &err);
    check = made;
    for (size_t i = 0; i < each; i++) {
        pn_random random =
            pn_random_seeded(UINT64_C(20261125) + (uint64_t)k * 100003U + i);
        answers exact;
        bool any = false;
        observe(guide, &whole->sheets[k], &random, &exact);
        guide = &room->guide;
        pn_check_session *session = session_of(&exact);
        for (size_t g = 0; g < guide->sheet_count; g++) {
            if (is_gathered(g) && has_must_see(&exact, g) &&
                pn_check_gate(session, g, NULL, 0) == 0) {
                t->of_pair[k][g + (g >= k)]++;
                any = true;
            }
        }
        pn_check_session_free(session);
        guide = whole;
        count_pass(t, k, any);
    }
    check = whole_check;
    pn_check_free(made);
}

static void tell_pairs(const char *what, const tally *t) {
    printf("%s: %zu of %zu dangerous specimens passed (%.4f %%)\n", what,
           t->passed, t->dangerous,
           100.0 * (double)t->passed / (double)t->dangerous);
    for (size_t k = 0; k < guide->sheet_count; k++) {
        for (size_t g = 0; g < guide->sheet_count; g++) {
            if (is_danger(k) && t->of_pair[k][g] > 0) {
                printf("  %-26s as %-26s %zu\n", guide->sheets[k].id,
                       guide->sheets[g].id, t->of_pair[k][g]);
            }
        }
    }
}

static void tell_rates(void) {
    for (size_t r = 0; r < RATES; r++) {
        for (way w = TOLD; w < WAYS; w++) {
            char what[64];
            snprintf(what, sizeof what, "%.0f %% wrong, %s", 100.0 * rates[r],
                     way_names[w]);
            tell_pairs(what, &tallies[r][w]);
            bool must_hold = r == 0 || (r == 1 && w <= LEAST);
            faults += must_hold && tallies[r][w].passed > 0;
        }
    }
    tell_pairs("held out, told", &held_out);
}

static void tell_json(size_t gathered, size_t experts, size_t opened) {
    const tally *t = &tallies[0][TOLD];
    printf("{\"truth\":\"guide\",\"kinds\":%zu,\"gathered\":%zu,"
           "\"experts\":%zu,\"perfect_open\":%zu,\"dangerous\":%zu",
           guide->sheet_count, gathered, experts, opened, t->dangerous);
    for (size_t r = 0; r < RATES; r++) {
        for (way w = TOLD; w < WAYS; w++) {
            printf(",\"%s_%.0f\":%zu", way_names[w], 100.0 * rates[r],
                   tallies[r][w].passed);
        }
    }
    printf(",\"held_out\":%zu", held_out.passed);
    printf(",\"own_open\":%.4f}\n", (double)t->own_open / (double)t->own);
}

int main(int argc, char **argv) {
    size_t each = argc > 1 ? (size_t)strtoul(argv[1], NULL, 10) : 200;
    size_t sheet_count = 0;
    const pn_sheets_file *files = pn_sheets_embedded(&sheet_count);
    pn_sheets *sheets = NULL;
    pn_check *made = NULL;
    pn_error err;
    must(pn_sheets_read(&pn_alloc_libc, pn_sheets_embedded_features(), files,
                        sheet_count, &sheets, &err),
         &err);
    guide = pn_sheets_guide(sheets);
    must(pn_check_new(&pn_alloc_libc, guide, &made, &err), &err);
    check = made;
    if (guide->sheet_count > KINDS_MAX || each < 1) {
        fprintf(stderr,
                "truth_guide: at least one specimen, at most %d kinds\n",
                KINDS_MAX);
        return 2;
    }
    fewer *room = calloc(1, sizeof *room);
    if (room == NULL) {
        fprintf(stderr, "truth_guide: out of memory\n");
        return 2;
    }
    printf("perfect specimens that do not pass their own gate:\n");
    size_t opened = try_perfect();
    size_t gathered = 0;
    size_t experts = 0;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        gathered += is_gathered(k);
        experts += is_gathered(k) && guide->sheets[k].expert_only;
        try_kind(k, is_danger(k) ? each : (each + 3) / 4);
        if (is_danger(k)) {
            hold_out(k, each, room, &held_out);
        }
    }
    tell_rates();
    printf("gathered specimens that pass their own gate: %.1f %%; as another "
           "gathered kind: %.2f %%\n",
           100.0 * (double)tallies[0][TOLD].own_open /
               (double)tallies[0][TOLD].own,
           100.0 * (double)tallies[0][TOLD].confused /
               (double)tallies[0][TOLD].own);
    tell_json(gathered, experts, opened);
    free(room);
    pn_check_free(made);
    pn_sheets_free(sheets);
    return faults > 0 ? 1 : 0;
}
