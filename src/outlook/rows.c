#include "outlook_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double IN_SEASON_DENSITY = 0.05;
enum { RECENT_VISITS = 5 };

const char *pn_outlook_basis_name(pn_outlook_basis basis) {
    switch (basis) {
    case PN_OUTLOOK_FORECAST:
        return "forecast";
    case PN_OUTLOOK_CLIMATOLOGY:
        return "other years";
    case PN_OUTLOOK_RECENT:
        return "recent weeks";
    default:
        return "unknown";
    }
}

/* ---- patch memory of one row ------------------------------------------- */

/* The N of past and future of one kind over all cells. */
typedef struct densities {
    const double *past;   /**< [past days][patch] */
    const double *future; /**< [horizon][member x patch] */
} densities;

static int by_day(const void *a, const void *b) {
    const pn_outlook_visit *x = a;
    const pn_outlook_visit *y = b;
    if (x->epoch_day != y->epoch_day) {
        return x->epoch_day < y->epoch_day ? -1 : 1;
    }
    return (x->count > y->count) - (x->count < y->count);
}

/* Grouped by kind and patch, each group by day: the order of groups does not
 * matter, only that a group is one run. */
static int by_group(const void *a, const void *b) {
    const pn_outlook_visit *x = a;
    const pn_outlook_visit *y = b;
    uintptr_t kind_x = (uintptr_t)x->kind;
    uintptr_t kind_y = (uintptr_t)y->kind;
    if (kind_x != kind_y) {
        return kind_x < kind_y ? -1 : 1;
    }
    if (x->patch != y->patch) {
        return x->patch < y->patch ? -1 : 1;
    }
    return 0;
}

static int by_group_and_day(const void *a, const void *b) {
    int order = by_group(a, b);
    return order != 0 ? order : by_day(a, b);
}

static void count_visit(pn_outlook_memory *memory, int64_t *lately,
                        const pn_outlook_visit *visit, double density) {
    bool found = visit->count > 0;
    memory->visits++;
    if (found) {
        memory->last_found = visit->epoch_day;
    }
    if (density < IN_SEASON_DENSITY) {
        return;
    }
    lately[memory->in_season % RECENT_VISITS] = visit->count;
    memory->in_season++;
    memory->found += found;
}

static void remember_row(const pn_outlook *outlook, pn_outlook_row *row,
                         const pn_outlook_visit *visits, size_t count,
                         const double *density, pn_outlook_exposure *scratch) {
    size_t used = 0;
    int64_t lately[RECENT_VISITS] = {0};
    double items = 0.0;
    pn_outlook_memory *memory = &row->memory;
    memory->last_found = INT32_MIN;
    for (size_t v = 0; v < count; v++) {
        int64_t day =
            (int64_t)visits[v].epoch_day - outlook->in.record->first_epoch_day;
        bool known = day >= 0 && day < (int64_t)outlook->past.day_count;
        double n =
            known ? density[outlook_at(&outlook->past, (size_t)day, row->patch)]
                  : NAN;
        if (isnan(n)) {
            memory->unknown += day < (int64_t)outlook->past.day_count;
            continue;
        }
        count_visit(memory, lately, &visits[v], n);
        scratch[used++] = (pn_outlook_exposure){
            .density = n,
            .effort = pn_outlook_effort(visits[v].minutes),
            .years =
                (outlook->in.issue_epoch_day - visits[v].epoch_day) / 365.25,
            .count = visits[v].count,
        };
    }
    memory->recent =
        memory->in_season < RECENT_VISITS ? memory->in_season : RECENT_VISITS;
    for (int i = 0; i < memory->recent; i++) {
        memory->recent_found += lately[i] > 0;
        items += (double)lately[i];
    }
    memory->recent_mean = memory->recent > 0 ? items / memory->recent : NAN;
    pn_outlook_remember(row->kind, outlook->in.pairs[row->pair].productivity,
                        scratch, used, memory);
}

/* ---- days of one row ---------------------------------------------------- */

static void predict_day(const pn_outlook *outlook, pn_outlook_row *row, int h,
                        const double *future) {
    double sum = 0.0;
    double squares = 0.0;
    double members = (double)outlook->member_count;
    for (size_t m = 0; m < outlook->member_count; m++) {
        size_t cell = m * outlook->in.patch_count + row->patch;
        double n = future[outlook_at(&outlook->future, (size_t)h, cell)];
        sum += n;
        squares += n * n;
    }
    double mean = sum / members;
    double variance = fmax(squares / members - mean * mean, 0.0);
    double cv = mean > 0.0 ? sqrt(variance) / mean : 0.0;
    pn_outlook_predict(row->kind, &row->memory, mean, cv, &row->day[h]);
}

static bool better_day(const pn_outlook_day *a, const pn_outlook_day *b) {
    if (a->chance_prob > b->chance_prob || a->chance_prob < b->chance_prob) {
        return a->chance_prob > b->chance_prob;
    }
    return a->count_mean > b->count_mean;
}

static void fill_row(const pn_outlook *outlook, pn_outlook_row *row,
                     densities n) {
    row->best_day = -1;
    for (int h = 0; h < outlook->in.horizon_days; h++) {
        predict_day(outlook, row, h, n.future);
        if (isfinite(row->day[h].chance_prob) &&
            (row->best_day < 0 ||
             better_day(&row->day[h], &row->day[row->best_day]))) {
            row->best_day = h;
        }
    }
}

/* ---- one kind ------------------------------------------------------------ */

typedef struct workspace {
    double *past;
    double *future;
    pn_outlook_visit *visits; /**< sorted by group */
    pn_outlook_exposure *exposures;
    pn_season_state *state;
    pn_season_state *futures;
} workspace;

static const pn_outlook_visit *find_visits(const pn_outlook *outlook,
                                           const workspace *work,
                                           const pn_outlook_row *row,
                                           size_t *count) {
    const pn_outlook_visit key = {.kind = row->kind, .patch = row->patch};
    size_t total = outlook->in.visit_count;
    *count = 0;
    if (total == 0) {
        return NULL;
    }
    const pn_outlook_visit *hit =
        bsearch(&key, work->visits, total, sizeof key, by_group);
    if (hit == NULL) {
        return NULL;
    }
    const pn_outlook_visit *first = hit;
    while (first > work->visits && by_group(first - 1, &key) == 0) {
        first--;
    }
    const pn_outlook_visit *last = hit;
    while (last + 1 < work->visits + total && by_group(last + 1, &key) == 0) {
        last++;
    }
    *count = (size_t)(last - first) + 1;
    return first;
}

static pn_status run_kind(pn_outlook *outlook, workspace *work,
                          const pn_kind *kind, pn_error *err) {
    double params[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(kind, params);
    pn_season_drivers past = outlook_drivers(&outlook->past);
    pn_season_drivers future = outlook_drivers(&outlook->future);
    pn_season_state_reset(work->state);
    pn_status status =
        pn_season_run(params, kind->model, &past, work->state, work->past, err);
    if (status == PN_OK) {
        status = pn_season_state_copy(work->state, work->futures, err);
    }
    if (status == PN_OK) {
        status = pn_season_run(params, kind->model, &future, work->futures,
                               work->future, err);
    }
    for (size_t r = 0; status == PN_OK && r < outlook->row_count; r++) {
        pn_outlook_row *row = &outlook->rows[r];
        if (row->kind != kind) {
            continue;
        }
        size_t count = 0;
        const pn_outlook_visit *visits =
            find_visits(outlook, work, row, &count);
        remember_row(outlook, row, visits, count, work->past, work->exposures);
        fill_row(outlook, row, (densities){work->past, work->future});
    }
    return status;
}

static bool kind_is_wanted(const pn_outlook *outlook, const pn_kind *kind) {
    for (size_t r = 0; r < outlook->row_count; r++) {
        if (outlook->rows[r].kind == kind) {
            return true;
        }
    }
    return false;
}

static pn_status run_kinds(pn_outlook *outlook, workspace *work,
                           pn_error *err) {
    pn_status status = PN_OK;
    for (size_t k = 0; status == PN_OK && k < pn_kind_count(); k++) {
        const pn_kind *kind = pn_kind_at(k);
        if (kind_is_wanted(outlook, kind)) {
            status = run_kind(outlook, work, kind, err);
        }
        if (outlook->in.progress != NULL) {
            outlook->in.progress(outlook->in.progress_ctx, "outlook", k + 1,
                                 pn_kind_count());
        }
    }
    return status;
}

static pn_status workspace_new(const pn_outlook *outlook, workspace *work,
                               pn_error *err) {
    const pn_alloc *alloc = &outlook->alloc;
    size_t visits = outlook->in.visit_count;
    work->past = pn_alloc_array(alloc, NULL, outlook->past.day_count,
                                outlook->past.cell_count * sizeof(double));
    work->future = pn_alloc_array(alloc, NULL, outlook->future.day_count,
                                  outlook->future.cell_count * sizeof(double));
    work->visits =
        pn_alloc_array(alloc, NULL, visits + 1, sizeof *work->visits);
    work->exposures =
        pn_alloc_array(alloc, NULL, visits + 1, sizeof *work->exposures);
    if (work->past == NULL || work->future == NULL || work->visits == NULL ||
        work->exposures == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory: %zu days of %zu patches",
                       outlook->past.day_count, outlook->past.cell_count);
    }
    if (visits > 0) {
        memcpy(work->visits, outlook->in.visits, visits * sizeof *work->visits);
        qsort(work->visits, visits, sizeof *work->visits, by_group_and_day);
    }
    pn_status status =
        pn_season_state_new(alloc, outlook->past.cell_count, &work->state, err);
    if (status == PN_OK) {
        status = pn_season_state_new(alloc, outlook->future.cell_count,
                                     &work->futures, err);
    }
    return status;
}

static void workspace_free(const pn_alloc *alloc, workspace *work) {
    pn_alloc_free(alloc, work->past);
    pn_alloc_free(alloc, work->future);
    pn_alloc_free(alloc, work->visits);
    pn_alloc_free(alloc, work->exposures);
    pn_season_state_free(work->state);
    pn_season_state_free(work->futures);
}

/* ---- ranking ------------------------------------------------------------- */

static int compare_rows(const void *a, const void *b) {
    const pn_outlook_row *x = a;
    const pn_outlook_row *y = b;
    bool known_x = x->best_day >= 0;
    bool known_y = y->best_day >= 0;
    if (known_x != known_y) {
        return known_x ? -1 : 1;
    }
    if (known_x) {
        const pn_outlook_day *best_x = &x->day[x->best_day];
        const pn_outlook_day *best_y = &y->day[y->best_day];
        if (better_day(best_x, best_y) || better_day(best_y, best_x)) {
            return better_day(best_x, best_y) ? -1 : 1;
        }
    }
    int names = strcmp(x->kind->id, y->kind->id);
    return names != 0 ? names : (x->pair > y->pair) - (x->pair < y->pair);
}

static void rank_rows(pn_outlook *outlook) {
    qsort(outlook->rows, outlook->row_count, sizeof *outlook->rows,
          compare_rows);
    for (size_t r = 0; r < outlook->row_count; r++) {
        pn_outlook_row *row = &outlook->rows[r];
        bool any = row->best_day >= 0 && row->day[row->best_day].density > 0.0;
        row->rank = any ? (int)r + 1 : 0;
    }
}

/* ---- the whole ------------------------------------------------------------
 */

static pn_status check_input(const pn_outlook_input *in, pn_error *err) {
    if (in->horizon_days < 1 || in->horizon_days > PN_OUTLOOK_HORIZON_MAX) {
        return pn_fail(err, PN_EDOMAIN, "an outlook is for 1 to %d days",
                       PN_OUTLOOK_HORIZON_MAX);
    }
    if (in->patch_count == 0 || in->pair_count == 0) {
        return pn_fail(err, PN_EDOMAIN,
                       "there is no patch with a kind to look for; add one "
                       "with its kinds");
    }
    for (size_t i = 0; i < in->pair_count; i++) {
        if (in->pairs[i].patch >= in->patch_count) {
            return pn_fail(err, PN_EDOMAIN, "pair %zu names no patch", i);
        }
    }
    for (size_t v = 0; v < in->visit_count; v++) {
        if (in->visits[v].count < 0 ||
            !(in->visits[v].minutes > 0.0 || isnan(in->visits[v].minutes))) {
            return pn_fail(err, PN_EDOMAIN,
                           "visit %zu: a count or a time below 0", v);
        }
    }
    return PN_OK;
}

static pn_status make_rows(pn_outlook *outlook, pn_error *err) {
    outlook->rows = pn_alloc_zeroed(&outlook->alloc, outlook->in.pair_count,
                                    sizeof *outlook->rows);
    if (outlook->rows == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory: %zu rows",
                       outlook->in.pair_count);
    }
    for (size_t i = 0; i < outlook->in.pair_count; i++) {
        const pn_outlook_pair *pair = &outlook->in.pairs[i];
        if (pair->kind->model == PN_SEASON_NOT_FORECAST) {
            continue;
        }
        outlook->rows[outlook->row_count++] = (pn_outlook_row){
            .pair = i, .patch = pair->patch, .kind = pair->kind};
    }
    return PN_OK;
}

static pn_status compute(pn_outlook *outlook, pn_error *err) {
    workspace work = {0};
    pn_status status = outlook_prepare_past(outlook, err);
    if (status == PN_OK) {
        status = outlook_choose_futures(outlook, err);
    }
    if (status == PN_OK) {
        status = outlook_prepare_future(outlook, err);
    }
    if (status == PN_OK) {
        status = make_rows(outlook, err);
    }
    if (status == PN_OK) {
        status = workspace_new(outlook, &work, err);
    }
    if (status == PN_OK) {
        status = run_kinds(outlook, &work, err);
    }
    if (status == PN_OK) {
        rank_rows(outlook);
    }
    workspace_free(&outlook->alloc, &work);
    return status;
}

pn_status pn_outlook_run(const pn_alloc *alloc, const pn_outlook_input *input,
                         pn_outlook **out, pn_error *err) {
    pn_status status = check_input(input, err);
    if (status != PN_OK) {
        return status;
    }
    pn_outlook *outlook = pn_alloc_zeroed(alloc, 1, sizeof *outlook);
    if (outlook == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    outlook->alloc = *alloc;
    outlook->in = *input;
    status = compute(outlook, err);
    if (status != PN_OK) {
        pn_outlook_free(outlook);
        return status;
    }
    *out = outlook;
    return PN_OK;
}

void pn_outlook_free(pn_outlook *outlook) {
    if (outlook == NULL) {
        return;
    }
    pn_alloc alloc = outlook->alloc;
    outlook_grid_free(&alloc, &outlook->past);
    outlook_grid_free(&alloc, &outlook->future);
    pn_alloc_free(&alloc, outlook->soil_now);
    pn_alloc_free(&alloc, outlook->rows);
    pn_alloc_free(&alloc, outlook);
}

const pn_outlook_row *pn_outlook_rows(const pn_outlook *outlook,
                                      size_t *count) {
    *count = outlook->row_count;
    return outlook->rows;
}

const pn_outlook_basis *pn_outlook_bases(const pn_outlook *outlook) {
    return outlook->basis;
}

pn_outlook_made pn_outlook_how_made(const pn_outlook *outlook) {
    return outlook->made;
}
