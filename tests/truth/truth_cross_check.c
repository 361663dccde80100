/* The guide's sheets beside the open table of 173 mushrooms, kind by kind as
 * tests/ref/check/cross_names.csv pairs them: class, sizes, colours, how the
 * gills meet the stem, ring, season. Prints every difference, one a line:
 *   sheet | what | the table | the sheet | how bad
 * "class": ours is more permissive; the only thing that fails (exit code 1).
 * "none shared": the two exclude each other. "would rule it out": the kind is
 * dangerous, and something the table lets it show would contradict it here.
 * "narrower": the table's words or size go further than the sheet.
 *   truth_cross_check FOLDER */
#include "support/mushroom_table.h"

#include <math.h>

#include "pannage/sheets.h"

enum { LINE = 256, LETTERS = 32 };

/* What a letter of the table may be called in the sheets. */
typedef struct words {
    char letter;
    const char *states; /* with a blank after each */
} words;

static const words colours[] = {
    {'w', "white cream "},
    {'y', "yellow cream olive "},
    {'b', "buff cream tan clay "},
    {'n', "brown tan buff red_brown dark_brown olive clay rust purple_brown "},
    {'g', "grey "},
    {'r', "green olive "},
    {'p', "pink "},
    {'u', "lilac purple_brown "},
    {'e', "red red_brown "},
    {'l', "blue lilac green "},
    {'o', "orange tan rust "},
    {'k', "black dark_brown purple_brown "},
};
static const words attachments[] = {
    {'a', "broad "}, {'x', "narrow notched "}, {'d', "decurrent "},
    {'e', "free "},  {'s', "notched "},
};
static const words undersides[] = {
    {'a', "gills folds "},         {'x', "gills folds "}, {'d', "gills folds "},
    {'e', "gills folds "},         {'s', "gills folds "}, {'p', "pores "},
    {'f', "folds smooth spines "},
};
static const words rings[] = {
    {'t', "single double_loose trace cobweb "},
    {'f', "none "},
};

#define WORDS(table) (table), sizeof(table) / sizeof *(table)

typedef struct pairing {
    const pn_guide *guide;
    const pn_sheet *sheet;
    const mushroom_species *species;
    size_t kinds, differences, permissive;
} pairing;

static void fail(const char *what, const char *why) {
    fprintf(stderr, "truth_cross_check: %s: %s\n", what, why);
    exit(2);
}

static bool is_danger(const pairing *p) {
    return pn_guide_is_danger(p->sheet->status);
}

static const pn_trait *trait_of(const pairing *p, const char *feature,
                                size_t *index) {
    *index = pn_guide_feature(p->guide, pn_text_of(feature));
    if (*index == PN_GUIDE_NONE) {
        fail(feature, "the guide has no such feature");
    }
    return pn_sheet_trait(p->sheet, *index);
}

static size_t column_of(const char *id) {
    size_t c = 0;
    while (strcmp(mushroom_columns[c].id, id) != 0) {
        c++;
    }
    return c;
}

/* ---- class -------------------------------------------------------------- */

static void check_class(pairing *p) {
    pn_guide_status status = p->sheet->status;
    bool ours = status == PN_GUIDE_GATHERED || status == PN_GUIDE_CAUTION;
    if (!p->species->edible && ours) {
        printf("%s | class | poisonous | %s | class\n", p->sheet->id,
               pn_guide_status_name(status));
        p->permissive++;
    }
}

/* ---- sizes -------------------------------------------------------------- */

/* scale: units of the table in one unit of the sheet. */
static void check_size(pairing *p, const char *column, const char *feature,
                       double scale) {
    static const double EDGE = 1.15; /* soft edges of both */
    size_t f = 0;
    const pn_trait *ours = trait_of(p, feature, &f);
    const pn_trait *theirs =
        pn_sheet_trait(&p->species->sheet, column_of(column));
    if (ours == NULL || theirs == NULL) {
        return;
    }
    double low = theirs->low / scale;
    double high = theirs->high / scale;
    bool apart = high < ours->low || low > ours->high;
    bool narrower = low < ours->low / EDGE || high > ours->high * EDGE;
    if (apart || narrower) {
        printf("%s | %s, %s | %.3g - %.3g | %.3g - %.3g | %s\n", p->sheet->id,
               feature, p->guide->features[f].unit, low, high, ours->low,
               ours->high, apart ? "none shared" : "narrower");
        p->differences++;
    }
}

/* ---- states ------------------------------------------------------------- */

/* How often the kind is answered so at its best stage, slips counted in. */
static double answered(const pn_feature *f, const pn_trait *trait,
                       size_t state) {
    double best = 0.0;
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        double sum = 0.0;
        for (size_t s = 0; s < f->state_count; s++) {
            sum += trait->share[stage * PN_GUIDE_STATES_MAX + s] *
                   f->slip[s * PN_GUIDE_STATES_MAX + state];
        }
        best = fmax(best, sum);
    }
    return best;
}

static bool shows(const pn_trait *trait, size_t state) {
    bool any = false;
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        any = any || trait->share[stage * PN_GUIDE_STATES_MAX + state] > 0.0;
    }
    return any;
}

static bool is_word(const char *states, const char *state) {
    char word[64];
    snprintf(word, sizeof word, "%s ", state);
    const char *at = strstr(states, word);
    return at != NULL && (at == states || at[-1] == ' ');
}

typedef struct match {
    bool shown;     /* the sheet has one of the words */
    bool ruled_out; /* the engine would call each of them a contradiction */
} match;

static match match_letter(const pn_feature *f, const pn_trait *trait,
                          const char *states) {
    static const double HARDLY_EVER = 0.03; /* as the engine has it */
    match m = {.ruled_out = true};
    for (size_t s = 0; s < f->state_count; s++) {
        if (is_word(states, f->states[s])) {
            m.shown = m.shown || shows(trait, s);
            m.ruled_out = m.ruled_out && answered(f, trait, s) <= HARDLY_EVER;
        }
    }
    return m;
}

static void print_ours(const pn_feature *f, const pn_trait *trait) {
    for (size_t s = 0; s < f->state_count; s++) {
        if (shows(trait, s)) {
            printf("%s ", f->states[s]);
        }
    }
}

static const char *words_of(const words *table, size_t count, char letter) {
    for (size_t i = 0; i < count; i++) {
        if (table[i].letter == letter) {
            return table[i].states;
        }
    }
    return NULL;
}

static void print_letters(const char *letters, const words *table,
                          size_t count) {
    for (; *letters != '\0'; letters++) {
        const char *states = words_of(table, count, *letters);
        printf("%.*s ", (int)strcspn(states, " "), states);
    }
}

static void append(char letters[LETTERS], char letter) {
    size_t length = strlen(letters);
    if (length + 1 < LETTERS) {
        letters[length] = letter;
        letters[length + 1] = '\0';
    }
}

/* letters: those of the table that have words here. */
static void check_letters(pairing *p, const char *feature, const char *letters,
                          const words *table, size_t count) {
    size_t f = 0;
    const pn_trait *trait = trait_of(p, feature, &f);
    if (trait == NULL || letters[0] == '\0') {
        return;
    }
    const pn_feature *of = &p->guide->features[f];
    char missing[LETTERS] = "";
    bool any = false;
    bool ruled_out = false;
    for (const char *at = letters; *at != '\0'; at++) {
        match m = match_letter(of, trait, words_of(table, count, *at));
        any = any || m.shown;
        if (!m.shown) {
            append(missing, *at);
            ruled_out = ruled_out || (m.ruled_out && is_danger(p));
        }
    }
    if (missing[0] == '\0') {
        return;
    }
    printf("%s | %s | ", p->sheet->id, feature);
    print_letters(letters, table, count);
    printf("| ");
    print_ours(of, trait);
    printf("| %s, wanting: ", !any        ? "none shared"
                              : ruled_out ? "would rule it out"
                                          : "narrower");
    print_letters(missing, table, count);
    printf("\n");
    p->differences++;
}

/* Letters of a field that have words, without repeats. */
static void check_states(pairing *p, const char *feature, size_t column,
                         const words *table, size_t count) {
    char letters[LETTERS] = "";
    const char *states = mushroom_columns[column].states;
    const pn_trait *theirs = pn_sheet_trait(&p->species->sheet, column);
    for (size_t s = 0; theirs != NULL && states[s] != '\0'; s++) {
        if (theirs->share[s] > 0.0 &&
            words_of(table, count, states[s]) != NULL) {
            append(letters, states[s]);
        }
    }
    check_letters(p, feature, letters, table, count);
}

/* ---- season ------------------------------------------------------------- */

static void check_season(pairing *p) {
    int shared = 0;
    int theirs = 0;
    int wanting = 0;
    for (int season = 0; season < 4; season++) {
        int ours = 0;
        int in_table = 0;
        for (int i = 0; i < 3; i++) {
            int month = (2 + 3 * season + i) % 12 + 1;
            ours += pn_sheet_in_season(p->sheet, month);
            in_table += pn_sheet_in_season(&p->species->sheet, month);
        }
        theirs += in_table > 0;
        shared += in_table > 0 && ours > 0;
        wanting += in_table > 0 && ours == 0;
    }
    if (theirs > 0 && wanting > 0) {
        printf("%s | season, months | %d - %d | %d - %d | %s\n", p->sheet->id,
               p->species->sheet.season_from, p->species->sheet.season_to,
               p->sheet->season_from, p->sheet->season_to,
               shared == 0 ? "none shared" : "narrower");
        p->differences++;
    }
}

/* ---- kind by kind ------------------------------------------------------- */

static void check_pair(pairing *p) {
    p->kinds++;
    check_class(p);
    check_size(p, "cap-diameter", "cap_width", 1.0);
    check_size(p, "stem-height", "stem_height", 1.0);
    check_size(p, "stem-width", "stem_width", 10.0);
    check_states(p, "cap_colour", column_of("cap-color"), WORDS(colours));
    check_states(p, "gill_colour", column_of("gill-color"), WORDS(colours));
    check_states(p, "pore_colour", column_of("gill-color"), WORDS(colours));
    check_states(p, "stem_colour", column_of("stem-color"), WORDS(colours));
    check_states(p, "gill_attachment", column_of("gill-attachment"),
                 WORDS(attachments));
    check_states(p, "underside", column_of("gill-attachment"),
                 WORDS(undersides));
    check_states(p, "ring", column_of("has-ring"), WORDS(rings));
    check_season(p);
}

static const mushroom_species *species_named(const mushroom_table *table,
                                             const char *name) {
    for (size_t k = 0; k < table->species_count; k++) {
        if (strcmp(table->species[k].name, name) == 0) {
            return &table->species[k];
        }
    }
    fail(name, "not in the table");
    return NULL;
}

static void check_all(pairing *p, const mushroom_table *table,
                      const char *folder) {
    char path[512];
    char line[LINE];
    snprintf(path, sizeof path, "%s/cross_names.csv", folder);
    FILE *file = fopen(path, "r");
    bool header = true;
    if (file == NULL) {
        fail(path, "is not there");
    }
    while (fgets(line, sizeof line, file) != NULL) {
        char *fields[3];
        if (line[0] == '#' || mushroom_cut(line, ',', fields, 3) != 3) {
            continue;
        }
        if (!header) {
            size_t k = pn_guide_sheet(p->guide, pn_text_of(fields[1]));
            if (k == PN_GUIDE_NONE) {
                fail(fields[1], "the guide has no such sheet");
            }
            p->sheet = &p->guide->sheets[k];
            p->species = species_named(table, fields[0]);
            check_pair(p);
        }
        header = false;
    }
    fclose(file);
}

int main(int argc, char **argv) {
    size_t count = 0;
    const pn_sheets_file *files = pn_sheets_embedded(&count);
    pn_sheets *sheets = NULL;
    pn_error err = {0};
    mushroom_table *table = argc > 1 ? mushroom_load(argv[1]) : NULL;
    if (table == NULL) {
        fail("usage", "truth_cross_check FOLDER (with the tables in it)");
    }
    if (pn_sheets_read(&pn_alloc_libc, pn_sheets_embedded_features(), files,
                       count, &sheets, &err) != PN_OK) {
        fail("guide", err.message);
    }
    pairing p = {.guide = pn_sheets_guide(sheets)};
    check_all(&p, table, argv[1]);
    printf("{\"truth\":\"cross_check\",\"kinds\":%zu,\"more_permissive\":%zu,"
           "\"differences\":%zu}\n",
           p.kinds, p.permissive, p.differences);
    mushroom_free(table);
    pn_sheets_free(sheets);
    return p.kinds > 0 && p.permissive == 0 ? 0 : 1;
}
