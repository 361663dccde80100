/* The check against the open table of 173 mushrooms: every species in the
 * guide, then each poisonous one held out in turn. Beyond what was asked:
 * the same with one answer in twenty and one in ten wrong, and the worst case
 * of missing answers, in which everything that is not known of a held-out
 * specimen is answered as the gathered kind would have it. Prints tables, the
 * pairs that pass, and one line of JSON.
 *   truth_mushrooms FOLDER [step]    step n: every n-th specimen only */
#include "support/mushroom_table.h"

#include <math.h>

typedef struct outcome {
    size_t specimens, top_1, top_3;
    size_t edible, own_gate, any_gate;
    size_t poisonous, passed;
    size_t of_pair[MUSHROOM_SPECIES_MAX][MUSHROOM_SPECIES_MAX];
    size_t reasons[PN_GATE_DANGER_LEFT + 1]; /* why the own gate stayed shut */
} outcome;

typedef struct run {
    const mushroom_table *table;
    pn_check *check;
    size_t left_out;
    size_t step;
    double wrong_frac; /* of the answers, any other state or 0.6 .. 1.6 times */
    bool filled;       /* missing answers as the gathered kind would have it */
    outcome *out;
} run;

static pn_suspect suspects[MUSHROOM_SPECIES_MAX + 1];

static void fail(const char *what, const char *why) {
    fprintf(stderr, "truth_mushrooms: %s: %s\n", what, why);
    exit(1);
}

/* Sheet of the guide to species of the table. */
static size_t species_of(const run *r, size_t sheet) {
    return sheet + (sheet >= r->left_out ? 1 : 0);
}

static void count_rank(const run *r, const pn_check_session *session,
                       size_t species) {
    size_t count = pn_check_suspects(session, suspects);
    size_t rank = 0;
    for (size_t i = 0; i < count; i++) {
        if (suspects[i].sheet == PN_GUIDE_NONE) {
            continue;
        }
        if (species_of(r, suspects[i].sheet) == species) {
            break;
        }
        rank++;
    }
    r->out->top_1 += rank < 1;
    r->out->top_3 += rank < 3;
}

static void count_gates(const run *r, const pn_check_session *session,
                        size_t species, bool edible) {
    const pn_guide *guide = pn_check_guide(r->check);
    pn_gate_open why[64];
    bool any = false;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        if (guide->sheets[k].status != PN_GUIDE_GATHERED) {
            continue;
        }
        bool own = species_of(r, k) == species;
        size_t shut = pn_check_gate(session, k, why, own ? 64 : 0);
        if (shut == 0) {
            any = true;
            r->out->own_gate += own;
            r->out->of_pair[species][species_of(r, k)]++;
        } else if (own) {
            bool seen[PN_GATE_DANGER_LEFT + 1] = {false};
            for (size_t i = 0; i < shut && i < 64; i++) {
                r->out->reasons[why[i].reason] += !seen[why[i].reason];
                seen[why[i].reason] = true;
            }
        }
    }
    r->out->any_gate += edible && any;
    r->out->passed += !edible && any;
    r->out->edible += edible;
    r->out->poisonous += !edible;
}

static pn_check_session *session_of(const run *r,
                                    const mushroom_specimen *specimen,
                                    const pn_answer *answers, size_t count) {
    pn_check_context context = mushroom_context(specimen);
    pn_check_session *session = NULL;
    pn_error err;
    if (pn_check_session_new(r->check, &context, &session, &err) != PN_OK) {
        fail("session", err.message);
    }
    for (size_t i = 0; i < count; i++) {
        if (pn_check_answer(session, &answers[i], &err) != PN_OK) {
            fail("answer", err.message);
        }
    }
    return session;
}

static void make_wrong(const run *r, size_t index, pn_answer *answers,
                       size_t count) {
    pn_random random = pn_random_seeded(20260914 + index);
    for (size_t i = 0; i < count; i++) {
        const pn_feature *f =
            &pn_check_guide(r->check)->features[answers[i].feature];
        bool wrong = pn_random_uniform(&random) < r->wrong_frac;
        double by = pn_random_uniform(&random);
        if (wrong && f->is_range) {
            answers[i].value *= 0.6 + by;
        } else if (wrong) {
            size_t shift = 1 + (size_t)(by * (double)(f->state_count - 1));
            answers[i].state = (answers[i].state + shift) % f->state_count;
        }
    }
}

/* What the kind shows most, for everything that is not answered. */
static size_t fill_in(const pn_guide *guide, const pn_sheet *sheet,
                      pn_answer *answers, size_t count) {
    size_t known = count;
    for (size_t t = 0; t < sheet->trait_count; t++) {
        const pn_trait *trait = &sheet->traits[t];
        bool asked = false;
        for (size_t i = 0; i < known; i++) {
            asked = asked || answers[i].feature == trait->feature;
        }
        if (asked) {
            continue;
        }
        pn_answer a = {.feature = trait->feature, .certainty = PN_CERTAIN};
        const pn_feature *f = &guide->features[a.feature];
        if (f->is_range) {
            a.value = sqrt(trait->low * trait->high);
        }
        for (size_t s = 1; s < f->state_count; s++) {
            a.state = trait->share[s] > trait->share[a.state] ? s : a.state;
        }
        answers[count++] = a;
    }
    return count;
}

/* Could the kind still be it, but for what was not answered? */
static bool only_missing(const pn_check_session *session, size_t sheet) {
    pn_gate_open why[256];
    size_t shut = pn_check_gate(session, sheet, why, 256);
    for (size_t i = 0; i < shut && i < 256; i++) {
        if (why[i].reason == PN_GATE_DISAGREES) {
            return false;
        }
    }
    return true;
}

static void run_filled(const run *r, size_t index) {
    const mushroom_specimen *specimen = &r->table->specimens[index];
    const pn_guide *guide = pn_check_guide(r->check);
    pn_answer answers[MUSHROOM_FEATURES];
    size_t species = index / MUSHROOM_EACH;
    size_t count = mushroom_answers(specimen, answers);
    pn_check_session *session = session_of(r, specimen, answers, count);
    bool any = false;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        if (guide->sheets[k].status != PN_GUIDE_GATHERED ||
            !only_missing(session, k)) {
            continue;
        }
        size_t all = fill_in(guide, &guide->sheets[k], answers, count);
        pn_check_session *filled = session_of(r, specimen, answers, all);
        if (pn_check_gate(filled, k, NULL, 0) == 0) {
            any = true;
            r->out->of_pair[species][species_of(r, k)]++;
        }
        pn_check_session_free(filled);
    }
    r->out->passed += any;
    r->out->poisonous++;
    pn_check_session_free(session);
}

static void run_specimen(const run *r, size_t index) {
    const mushroom_specimen *specimen = &r->table->specimens[index];
    pn_answer answers[MUSHROOM_FEATURES];
    if (r->filled) {
        run_filled(r, index);
        return;
    }
    size_t count = mushroom_answers(specimen, answers);
    make_wrong(r, index, answers, count);
    pn_check_session *session = session_of(r, specimen, answers, count);
    r->out->specimens++;
    count_rank(r, session, index / MUSHROOM_EACH);
    count_gates(r, session, index / MUSHROOM_EACH, specimen->edible);
    pn_check_session_free(session);
}

static void run_species(const run *r, size_t species) {
    for (size_t i = 0; i < MUSHROOM_EACH; i += r->step) {
        run_specimen(r, species * MUSHROOM_EACH + i);
    }
}

static void run_guide(mushroom_table *table, run r, size_t first, size_t end) {
    pn_error err;
    pn_guide guide = mushroom_guide(table, r.left_out);
    r.table = table;
    if (pn_check_new(&pn_alloc_libc, &guide, &r.check, &err) != PN_OK) {
        fail("guide", err.message);
    }
    for (size_t k = first; k < end; k++) {
        run_species(&r, k);
    }
    pn_check_free(r.check);
}

static void run_held_out(mushroom_table *table, run r) {
    for (size_t k = 0; k < table->species_count; k++) {
        if (!table->species[k].edible) {
            r.left_out = k;
            run_guide(table, r, k, k + 1);
        }
    }
}

static double percent(size_t part, size_t whole) {
    return whole > 0 ? 100.0 * (double)part / (double)whole : NAN;
}

/* The feature in which two sheets overlap least. */
static void print_pair(const mushroom_table *table, const pn_guide *guide,
                       size_t a, size_t b, size_t count) {
    double least = 2.0;
    size_t best = 0;
    for (size_t f = 0; f < MUSHROOM_FEATURES; f++) {
        double overlap = pn_guide_overlap(guide, &table->species[a].sheet,
                                          &table->species[b].sheet, f);
        if (pn_sheet_trait(&table->species[b].sheet, f) != NULL &&
            overlap < least) {
            least = overlap;
            best = f;
        }
    }
    printf("  %-28s as %-28s %4zu of %d  best told by %s (overlap %.2f)\n",
           table->species[a].name, table->species[b].name, count, MUSHROOM_EACH,
           guide->features[best].id, least);
}

static void print_pairs(mushroom_table *table, const outcome *out) {
    pn_guide guide = mushroom_guide(table, PN_GUIDE_NONE);
    for (size_t a = 0; a < table->species_count; a++) {
        for (size_t b = 0; b < table->species_count; b++) {
            if (!table->species[a].edible && out->of_pair[a][b] > 0) {
                print_pair(table, &guide, a, b, out->of_pair[a][b]);
            }
        }
    }
}

static void print_listed(mushroom_table *table, const outcome *o) {
    printf("  right species first       %6.2f %%\n",
           percent(o->top_1, o->specimens));
    printf("  among the first three     %6.2f %%\n",
           percent(o->top_3, o->specimens));
    printf("  edible, own gate open     %6.2f %% of %zu\n",
           percent(o->own_gate, o->edible), o->edible);
    printf("  edible, some gate open    %6.2f %%\n",
           percent(o->any_gate, o->edible));
    for (size_t i = 0; i <= PN_GATE_DANGER_LEFT; i++) {
        printf("    shut: %-20s %zu\n", pn_gate_reason_name((pn_gate_reason)i),
               o->reasons[i]);
    }
    printf("  poisonous passed          %6zu of %zu\n", o->passed,
           o->poisonous);
    print_pairs(table, o);
}

static void print_held(mushroom_table *table, const outcome *o) {
    printf("  poisonous passed          %6zu of %zu (%.3f %%)\n", o->passed,
           o->poisonous, percent(o->passed, o->poisonous));
    print_pairs(table, o);
}

enum { LISTED, HELD, WRONG_5, WRONG_10, HELD_WRONG_5, FILLED, RUNS };

static void print_outcomes(mushroom_table *table, const outcome *out) {
    printf("species in the guide: %zu specimens\n", out[LISTED].specimens);
    print_listed(table, &out[LISTED]);
    printf("each poisonous species held out in turn\n");
    print_held(table, &out[HELD]);
    printf("species in the guide, 5 %% of the answers wrong\n");
    print_listed(table, &out[WRONG_5]);
    printf("species in the guide, 10 %% of the answers wrong\n");
    print_listed(table, &out[WRONG_10]);
    printf("held out, 5 %% of the answers wrong\n");
    print_held(table, &out[HELD_WRONG_5]);
    printf("held out, missing answers as the gathered kind would have them\n");
    print_held(table, &out[FILLED]);
    printf("{\"truth\":\"mushrooms_173\",\"specimens\":%zu,\"top_1\":%.4f,"
           "\"top_3\":%.4f,\"coverage_own\":%.4f,\"coverage_any\":%.4f,",
           out->specimens, percent(out->top_1, out->specimens) / 100,
           percent(out->top_3, out->specimens) / 100,
           percent(out->own_gate, out->edible) / 100,
           percent(out->any_gate, out->edible) / 100);
    printf("\"poisonous\":%zu,\"passed_listed\":%zu,\"passed_held_out\":%zu,"
           "\"passed_wrong_5\":%zu,\"passed_wrong_10\":%zu,"
           "\"passed_held_out_wrong_5\":%zu,\"passed_held_out_filled\":%zu}\n",
           out->poisonous, out->passed, out[HELD].passed, out[WRONG_5].passed,
           out[WRONG_10].passed, out[HELD_WRONG_5].passed, out[FILLED].passed);
}

int main(int argc, char **argv) {
    size_t step = argc > 2 ? (size_t)strtoul(argv[2], NULL, 10) : 1;
    if (argc < 2 || step < 1) {
        fail("usage", "truth_mushrooms FOLDER [step]");
    }
    mushroom_table *table = mushroom_load(argv[1]);
    outcome *out = calloc(RUNS, sizeof *out);
    if (table == NULL || out == NULL) {
        fail(argv[1], "the tables are not there, or not whole");
    }
    run r = {.left_out = PN_GUIDE_NONE, .step = step, .out = &out[LISTED]};
    run wrong_5 = {.left_out = PN_GUIDE_NONE,
                   .step = step,
                   .wrong_frac = 0.05,
                   .out = &out[WRONG_5]};
    run wrong_10 = wrong_5;
    wrong_10.wrong_frac = 0.10;
    wrong_10.out = &out[WRONG_10];
    run_guide(table, r, 0, table->species_count);
    run_guide(table, wrong_5, 0, table->species_count);
    run_guide(table, wrong_10, 0, table->species_count);
    r.out = &out[HELD];
    run_held_out(table, r);
    wrong_5.out = &out[HELD_WRONG_5];
    run_held_out(table, wrong_5);
    r.out = &out[FILLED];
    r.filled = true;
    run_held_out(table, r);
    print_outcomes(table, out);
    free(out);
    mushroom_free(table);
    return 0;
}
