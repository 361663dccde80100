/* The guide in words: what the commands of guide and check share. */
#include "cli.h"

#include <math.h>
#include <string.h>

const char cli_check_caution[] =
    "An aid to looking, never permission to eat. What is not ruled out counts "
    "as present. In doubt leave it, and show it to a competent person on the "
    "spot.";
const char cli_check_reminder[] =
    "Never permission to eat. Eaten something doubtful? Unwell: 999, else NHS "
    "111; keep what is left.";
const char cli_eaten_something[] =
    "If someone may have eaten something doubtful, do not wait for them to "
    "feel ill: call 999 if they are unwell, else NHS 111, and keep what is "
    "left of "
    "the plant, the fungus and the meal.";

void cli_print_check_caution(const cli_ctx *cli) {
    putchar('\n');
    cli_print_paragraph(cli, 0, cli_check_caution);
    cli_print_paragraph(cli, 0, cli_eaten_something);
}

/* ---- finding
 * ------------------------------------------------------------------ */

enum { NAME_MAX_LEN = 80 };

/* Letters to put in, take out or change to make b of a. */
static size_t letters_apart(const char *a, const char *b) {
    size_t row[NAME_MAX_LEN + 1];
    size_t len = strnlen(b, NAME_MAX_LEN);
    for (size_t j = 0; j <= len; j++) {
        row[j] = j;
    }
    for (size_t i = 0; a[i] != '\0' && i < NAME_MAX_LEN; i++) {
        size_t diagonal = row[0]++;
        for (size_t j = 0; j < len; j++) {
            size_t changed = diagonal + (a[i] != b[j]);
            size_t one_more = (row[j] < row[j + 1] ? row[j] : row[j + 1]) + 1;
            diagonal = row[j + 1];
            row[j + 1] = changed < one_more ? changed : one_more;
        }
    }
    return row[len];
}

int cli_find_sheet(const pn_guide *guide, const char *name, size_t *out) {
    *out = pn_guide_sheet(guide, pn_text_of(name));
    if (*out != PN_GUIDE_NONE) {
        return CLI_OK;
    }
    size_t nearest = 0;
    size_t least = SIZE_MAX;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        size_t apart = letters_apart(name, guide->sheets[k].id);
        if (apart < least) {
            least = apart;
            nearest = k;
        }
    }
    return cli_fail(CLI_INPUT,
                    "the guide has no sheet '%s' (did you mean %s?); 'pannage "
                    "guide list' shows them",
                    name, guide->sheets[nearest].id);
}

/* ---- words
 * --------------------------------------------------------------------- */

const char *cli_words(const cli_ctx *cli, const char *id) {
    char buf[64];
    pn_str str = pn_str_in(buf, sizeof buf);
    pn_str_addf(&str, "%s", id);
    for (char *c = strchr(buf, '_'); c != NULL; c = strchr(c, '_')) {
        *c = ' ';
    }
    return cli_textf(cli, "%s", buf);
}

static size_t commonest(const pn_feature *feature, const double *share,
                        const bool *done) {
    size_t best = PN_GUIDE_NONE;
    for (size_t s = 0; s < feature->state_count; s++) {
        if (!done[s] && share[s] > 0.0 &&
            (best == PN_GUIDE_NONE || share[s] > share[best])) {
            best = s;
        }
    }
    return best;
}

static void add_states(const cli_ctx *cli, const pn_feature *feature,
                       const double *share, pn_str *str) {
    bool done[PN_GUIDE_STATES_MAX] = {false};
    size_t best = commonest(feature, share, done);
    for (bool first = true; best != PN_GUIDE_NONE; first = false) {
        pn_str_addf(str, "%s%s", first ? "" : ", ",
                    cli_words(cli, feature->states[best]));
        if (share[best] < 0.0095) {
            pn_str_addf(str, " very rarely");
        } else if (share[best] < 0.995) {
            pn_str_addf(str, " %.0f %%", 100.0 * share[best]);
        }
        done[best] = true;
        best = commonest(feature, share, done);
    }
}

const char *cli_trait_text(const cli_ctx *cli, const pn_guide *guide,
                           const pn_trait *trait) {
    const pn_feature *feature = &guide->features[trait->feature];
    char buf[700];
    pn_str str = pn_str_in(buf, sizeof buf);
    if (feature->is_range) {
        pn_str_addf(&str, "%g to %g %s", trait->low, trait->high,
                    feature->unit);
        return cli_textf(cli, "%s", buf);
    }
    const double *grown =
        trait->share + (size_t)PN_GUIDE_MATURE * PN_GUIDE_STATES_MAX;
    add_states(cli, feature, grown, &str);
    for (int stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        const double *share =
            trait->share + (size_t)stage * PN_GUIDE_STATES_MAX;
        if (memcmp(share, grown, feature->state_count * sizeof *share) != 0) {
            pn_str_addf(&str,
                        "; %s: ", pn_guide_stage_name((pn_guide_stage)stage));
            add_states(cli, feature, share, &str);
        }
    }
    return cli_textf(cli, "%s", buf);
}
