/* A whole session driven by bytes. Each line does one thing: "<" takes the
 * latest answer back, "!" begins anew in another context, anything else is an
 * observation as a person writes one. After every line all must hold that
 * anybody relies on: the posterior adds up to 1, the gate is shut while
 * something must still be seen, no danger's gate opens, and what is asked next
 * can be asked. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "../support/small_guide.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { LINES_MAX = 40, OPEN_MAX = 64 };

static void must(bool holds) {
    if (!holds) {
        abort();
    }
}

static bool is_sure(const pn_check_session *session, size_t feature) {
    size_t count = 0;
    const pn_answer *answers = pn_check_answers(session, &count);
    for (size_t i = 0; i < count; i++) {
        if (answers[i].feature == feature) {
            return answers[i].certainty == PN_CERTAIN;
        }
    }
    return false;
}

static void check_suspects(const pn_check_session *session) {
    pn_suspect out[SMALL_SHEETS + 1];
    double sum = 0.0;
    size_t count = pn_check_suspects(session, out);
    must(count == SMALL_SHEETS + 1);
    for (size_t i = 0; i < count; i++) {
        must(out[i].posterior >= 0.0 && out[i].posterior <= 1.0 + 1e-12);
        must(out[i].contradicted >= 0 && out[i].contradicted <= SMALL_FEATURES);
        sum += out[i].posterior;
    }
    must(fabs(sum - 1.0) <= 1e-9);
    double danger = pn_check_danger(session);
    must(danger >= 0.0 && danger <= 1.0 + 1e-9);
}

static void check_gate(const pn_check_session *session, const pn_guide *guide,
                       size_t kind) {
    pn_gate_open open[OPEN_MAX];
    size_t count = pn_check_gate(session, kind, open, OPEN_MAX);
    must(count == pn_check_gate(session, kind, NULL, 0));
    must(count > 0 || !pn_guide_is_danger(guide->sheets[kind].status));
    const pn_sheet *sheet = &guide->sheets[kind];
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        must(count > 0 || is_sure(session, sheet->must_see[i]));
    }
    for (size_t i = 0; i < count && i < OPEN_MAX; i++) {
        must(strcmp(pn_gate_reason_name(open[i].reason), "unknown") != 0);
        must(open[i].feature == PN_GUIDE_NONE ||
             open[i].feature < SMALL_FEATURES);
        must(open[i].sheet == PN_GUIDE_NONE || open[i].sheet < SMALL_SHEETS);
    }
    must(count > 0 || pn_check_danger(session) <= 0.02);
}

static void check_next(const pn_check_session *session, size_t focus) {
    pn_next out[SMALL_FEATURES + 1];
    size_t given = 0;
    const pn_answer *answers = pn_check_answers(session, &given);
    size_t count = pn_check_next(session, focus, out, SMALL_FEATURES + 1);
    must(count + given <= SMALL_FEATURES);
    for (size_t i = 0; i < count; i++) {
        must(out[i].worth >= 0.0 && out[i].danger_after >= 0.0);
        must(i == 0 || out[i].worth <= out[i - 1].worth);
        for (size_t j = 0; j < given; j++) {
            must(out[i].feature != answers[j].feature);
        }
    }
}

static void check_all(const pn_check_session *session, const pn_guide *guide) {
    pn_check_evidence evidence[SMALL_FEATURES];
    check_suspects(session);
    for (size_t k = 0; k < SMALL_SHEETS; k++) {
        check_gate(session, guide, k);
        check_next(session, k);
        size_t count =
            pn_check_compare(session, k, MILD, evidence, SMALL_FEATURES);
        for (size_t i = 0; i < count; i++) {
            must(isfinite(evidence[i].log_ratio));
        }
    }
    check_next(session, PN_GUIDE_NONE);
}

static pn_check_session *begin(const pn_check *check, size_t turn) {
    static const char *const places[] = {NULL, "wood", "meadow", "moon"};
    pn_check_context context = {.month = (int)(turn % 15) - 1,
                                .habitat = places[turn % 4],
                                .host = places[turn / 4 % 4],
                                .beginner = turn % 2 == 0};
    pn_check_session *session = NULL;
    must(pn_check_session_new(check, &context, &session, NULL) == PN_OK);
    return session;
}

static void observe(pn_check_session *session, const pn_check *check,
                    pn_text line) {
    pn_answer answer = {.feature = 99};
    pn_error err = {PN_OK, ""};
    size_t before = 0;
    size_t after = 0;
    (void)pn_check_answers(session, &before);
    pn_status status = pn_check_answer_parse(check, line, &answer, &err);
    if (status == PN_OK) {
        must(pn_check_answer(session, &answer, &err) == PN_OK);
    } else {
        must(status == PN_EPARSE && answer.feature == 99);
        must(err.message[0] != '\0' && strchr(err.message, '\n') == NULL);
        answer.feature = line.len;
        answer.state = line.len;
        must(answer.feature < SMALL_FEATURES ||
             pn_check_answer(session, &answer, &err) == PN_EDOMAIN);
    }
    (void)pn_check_answers(session, &after);
    must(after >= before && after <= before + 1);
}

static void run(const pn_check *check, pn_text text) {
    pn_check_session *session = begin(check, 0);
    pn_text rest = text;
    for (size_t i = 1; i < LINES_MAX && rest.len > 0; i++) {
        pn_text line = pn_text_cut(rest, '\n', &rest);
        if (line.len == 1 && line.at[0] == '<') {
            size_t count = 0;
            (void)pn_check_answers(session, &count);
            must(pn_check_undo(session) == (count > 0));
        } else if (line.len == 1 && line.at[0] == '!') {
            pn_check_session_free(session);
            session = begin(check, i);
        } else if (line.len > 0) {
            observe(session, check, line);
        }
        check_all(session, pn_check_guide(check));
    }
    pn_check_session_free(session);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const char *const places[] = {"wood", "meadow"};
    small_guide g;
    pn_check *check = NULL;
    char *text = malloc(size + 1);
    if (text == NULL) {
        return 0;
    }
    if (size > 0) {
        memcpy(text, data, size);
    }
    small_make(&g);
    g.sheets[MILD].habitats = (pn_guide_names){places, 1};
    g.sheets[DEADLY].hosts = (pn_guide_names){places, 2};
    g.sheets[PLAIN].expert_only = true;
    must(pn_check_new(&pn_alloc_libc, &g.guide, &check, NULL) == PN_OK);
    run(check, (pn_text){text, size});
    pn_check_free(check);
    free(text);
    return 0;
}
