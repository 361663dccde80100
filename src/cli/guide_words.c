/* The guide in words: what the commands of guide and check share. */
#include "cli.h"

#include <dirent.h>
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/exchange.h"
#include "pannage/sheets.h"

const char cli_check_caution[] =
    "An aid to looking, never permission to eat. What is not ruled out counts "
    "as present. In doubt leave it, and show it to a competent person on the "
    "spot.";
const char cli_eaten_something[] =
    "If someone may have eaten something doubtful, do not wait for them to "
    "feel "
    "ill: call 999 if they are unwell, else NHS 111, and keep what is left of "
    "the plant, the fungus and the meal.";

void cli_print_check_caution(const cli_ctx *cli) {
    putchar('\n');
    cli_print_paragraph(cli, 0, cli_check_caution);
    cli_print_paragraph(cli, 0, cli_eaten_something);
}

/* ---- loading
 * ------------------------------------------------------------------ */

enum { SHEETS_MAX = 2000, SHEET_MAX_BYTES = 1 << 20 };

static pn_status read_text(const cli_ctx *cli, const char *path, pn_text *out,
                           pn_error *err) {
    pn_exchange_source source = {0};
    pn_status status = pn_exchange_open_file(path, &source, err);
    char *text = pn_arena_array(cli->arena, SHEET_MAX_BYTES, 1);
    size_t len = 0;
    if (status == PN_OK && text == NULL) {
        status = pn_fail(err, PN_ENOMEM, "out of memory");
    }
    while (status == PN_OK && len < SHEET_MAX_BYTES) {
        ptrdiff_t got =
            source.read(source.ctx, text + len, SHEET_MAX_BYTES - len);
        if (got < 0) {
            status = pn_fail(err, PN_EIO, "%s: cannot be read", path);
        }
        if (got <= 0) {
            break;
        }
        len += (size_t)got;
    }
    pn_exchange_close_file(&source);
    *out = (pn_text){text, len};
    return status;
}

static int by_name(const void *a, const void *b) {
    const pn_sheets_file *x = a;
    const pn_sheets_file *y = b;
    return strcmp(x->name, y->name);
}

static bool is_sheet(const char *name) {
    size_t len = strlen(name);
    return len > 5 && strcmp(name + len - 5, ".yaml") == 0;
}

static pn_status read_folder(const cli_ctx *cli, const char *folder,
                             pn_sheets_file *files, size_t *count,
                             pn_error *err) {
    const char *path = cli_textf(cli, "%s/sheets", folder);
    DIR *dir = opendir(path);
    pn_status status = PN_OK;
    *count = 0;
    if (dir == NULL) {
        return pn_fail(err, PN_ENOTFOUND, "%s: %s", path, strerror(errno));
    }
    for (struct dirent *entry = NULL;
         status == PN_OK && (entry = readdir(dir)) != NULL;) {
        if (!is_sheet(entry->d_name)) {
            continue;
        }
        if (*count == SHEETS_MAX) {
            status = pn_fail(err, PN_EDOMAIN, "%s: more than %d sheets", path,
                             SHEETS_MAX);
            break;
        }
        pn_sheets_file *file = &files[(*count)++];
        file->name = cli_textf(cli, "%s/%s", path, entry->d_name);
        status = read_text(cli, file->name, &file->text, err);
    }
    closedir(dir);
    if (status == PN_OK && *count > 0) {
        qsort(files, *count, sizeof *files, by_name);
    }
    return status;
}

static pn_status load_folder(const cli_ctx *cli, const char *folder,
                             pn_sheets **out, pn_error *err) {
    pn_sheets_file features = {.name =
                                   cli_textf(cli, "%s/features.yaml", folder)};
    size_t count = 0;
    pn_sheets_file *files =
        pn_arena_array(cli->arena, SHEETS_MAX, sizeof *files);
    if (files == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    pn_status status = read_text(cli, features.name, &features.text, err);
    if (status == PN_OK) {
        status = read_folder(cli, folder, files, &count, err);
    }
    return status == PN_OK
               ? pn_sheets_read(&cli->alloc, &features, files, count, out, err)
               : status;
}

int cli_load_guide(const cli_ctx *cli, const cli_args *args, pn_sheets **out) {
    const char *folder = cli_value(args, "guide");
    pn_error err = {0};
    size_t count = 0;
    const pn_sheets_file *shipped = pn_sheets_embedded(&count);
    pn_status status =
        folder != NULL
            ? load_folder(cli, folder, out, &err)
            : pn_sheets_read(&cli->alloc, pn_sheets_embedded_features(),
                             shipped, count, out, &err);
    return status == PN_OK ? CLI_OK : cli_fail_error(&err);
}

/* ---- finding
 * ------------------------------------------------------------------ */

static size_t likeness(const char *a, const char *b) {
    size_t same = 0;
    for (; *a != '\0'; a++) {
        const char *found = strchr(b, *a);
        if (found != NULL) {
            same++;
            b = found + 1;
        }
    }
    return same;
}

int cli_find_sheet(const pn_guide *guide, const char *name, size_t *out) {
    *out = pn_guide_sheet(guide, pn_text_of(name));
    if (*out != PN_GUIDE_NONE) {
        return CLI_OK;
    }
    size_t nearest = 0;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        if (likeness(name, guide->sheets[k].id) >
            likeness(name, guide->sheets[nearest].id)) {
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
    for (char *c = buf; *c != '\0'; c++) {
        *c = *c == '_' ? ' ' : *c;
    }
    return cli_textf(cli, "%s", buf);
}

static void add_states(const cli_ctx *cli, const pn_feature *feature,
                       const double *share, pn_str *str) {
    bool done[PN_GUIDE_STATES_MAX] = {false};
    for (size_t n = 0; n < feature->state_count; n++) {
        size_t best = PN_GUIDE_NONE;
        for (size_t s = 0; s < feature->state_count; s++) {
            if (!done[s] && share[s] > 0.0 &&
                (best == PN_GUIDE_NONE || share[s] > share[best])) {
                best = s;
            }
        }
        if (best == PN_GUIDE_NONE) {
            return;
        }
        done[best] = true;
        pn_str_addf(str, "%s%s", n > 0 ? ", " : "",
                    cli_words(cli, feature->states[best]));
        if (share[best] < 0.995) {
            pn_str_addf(str, " %.0f %%", 100.0 * share[best]);
        }
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
        const double *share = trait->share + stage * PN_GUIDE_STATES_MAX;
        if (memcmp(share, grown, feature->state_count * sizeof *share) != 0) {
            pn_str_addf(&str,
                        "; %s: ", pn_guide_stage_name((pn_guide_stage)stage));
            add_states(cli, feature, share, &str);
        }
    }
    return cli_textf(cli, "%s", buf);
}
