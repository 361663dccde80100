/** @file cli.h
 * The command line: one table of commands feeds dispatch, help, completion
 * and the man page. A command parses, asks the libraries, and prints.
 */
#ifndef PN_CLI_H
#define PN_CLI_H

#include <jansson.h>
#include <stdio.h>

#include "pannage/base.h"
#include "pannage/check.h"
#include "pannage/notebook.h"
#include "pannage/outlook.h"
#include "pannage/paper.h"
#include "pannage/sheets.h"

/** Exit codes; the man page lists them. */
enum {
    CLI_OK = 0,
    CLI_NO = 1,     /**< the answer is "no" or "nothing" */
    CLI_USAGE = 2,  /**< the command line is wrong */
    CLI_INPUT = 3,  /**< a file or a value is wrong */
    CLI_SYSTEM = 4, /**< the machine refused: disk, memory, permissions */
};

typedef struct cli_option {
    const char *name;    /**< without the dashes */
    const char *metavar; /**< NULL: a flag */
    const char *help;    /**< one sentence, no full stop */
} cli_option;

typedef struct cli_args cli_args;
typedef struct cli_ctx cli_ctx;

typedef struct cli_command {
    const char *name; /**< one word, or two: "weather import" */
    const char *args; /**< "FILE..." or "" */
    int args_min;
    int args_max;
    const char *summary;       /**< one line */
    const char *details;       /**< paragraphs for --help and the man page */
    const cli_option *options; /**< ends with a NULL name */
    int (*run)(cli_ctx *cli, const cli_args *args);
} cli_command;

extern const cli_command cli_commands[];
extern const size_t cli_command_count;
/** Options every command takes; ends with a NULL name. */
extern const cli_option cli_globals[];

/** What one run of the program knows of its surroundings. */
struct cli_ctx {
    pn_alloc alloc;
    pn_arena *arena; /**< dies with the command */
    const char *notebook_path;
    bool json;
    bool quiet;
    bool typed;         /**< questions are answered by typing alone */
    bool ascii;         /**< the terminal's locale is not UTF-8 */
    bool colour;        /**< standard output is a terminal that wants it */
    bool show_progress; /**< standard error is a terminal */
    int columns;        /**< 0: not a terminal, as wide as needed */
    int64_t now_unix_s;
    int32_t today_epoch_day; /**< local date */
};

enum { CLI_VALUES_MAX = 200 };

struct cli_args {
    const cli_command *command;
    struct {
        const char *name;
        const char *value; /**< NULL for a flag */
    } given[CLI_VALUES_MAX];
    int given_count;
    char *const *positional;
    int positional_count;
};

/* ---- parse.c ---------------------------------------------------------- */

/** The command that the words begin with, or NULL; *words says how many of
 *  them are its name. */
const cli_command *cli_find_command(char *const *argv, int argc, int *words);
/** Options and operands after the command's name. Complains on standard error
 *  itself and returns CLI_USAGE; CLI_OK otherwise. Not const: getopt() moves
 *  operands to the end of argv. */
int cli_parse(const cli_command *command, char **argv, int argc,
              cli_args *args);

/** Last value given, or NULL. */
const char *cli_value(const cli_args *args, const char *name);
bool cli_flag(const cli_args *args, const char *name);
pn_text cli_text_value(const cli_args *args, const char *name,
                       const char *otherwise);
/** The value of every occurrence in turn: start with *at = 0; NULL ends. */
const char *cli_each(const cli_args *args, const char *name, int *at);

/** Typed values; `out` keeps its default when the option was not given. They
 *  complain themselves: CLI_OK or CLI_USAGE. */
int cli_date_value(const cli_ctx *cli, const cli_args *args, const char *name,
                   int32_t *out);
int cli_double_value(const cli_args *args, const char *name, double low,
                     double high, double *out);
int cli_int_value(const cli_args *args, const char *name, int64_t low,
                  int64_t high, int64_t *out);
/** CLI_OK when any of the command's own options is given; complains. */
int cli_need_a_change(const cli_args *args);
/** "2026-09-14", "today", "yesterday" or "tomorrow". */
bool cli_parse_date(const cli_ctx *cli, const char *text, int32_t *out);

/* ---- output.c --------------------------------------------------------- */

/** Complain: "pannage: MESSAGE" on standard error; returns the exit code. */
int cli_fail(int code, const char *fmt, ...) PN_PRINTF(2, 3);
/** Complain of a library's failure; the exit code follows from its status. */
int cli_fail_error(const pn_error *err);
/** Talk on standard error, unless --quiet. */
void cli_say(const cli_ctx *cli, const char *fmt, ...) PN_PRINTF(2, 3);
/** Print and free the document: CLI_OK or CLI_SYSTEM. */
int cli_print_json(const cli_ctx *cli, json_t *document);
/** Print the table with the terminal's width and marks. */
int cli_print_table(const cli_ctx *cli, const pn_paper_column *columns,
                    size_t column_count, const char *const *cells,
                    size_t row_count);
/** A paragraph, wrapped and indented. */
void cli_print_paragraph(const cli_ctx *cli, size_t indent, const char *text);
/** Print and release a buffer of text. */
int cli_print_buffer(pn_buffer *buffer);
/** How much of a file is read at most, and what is said of a larger one. */
typedef struct cli_read_limit {
    size_t bytes;
    const char *complaint; /**< "more than 1 MB; ..." */
} cli_read_limit;
/** A whole file; a larger one is refused, never cut off.
 *  @param[out] out  the caller releases with pn_buffer_deinit(), also after a
 *                   failure */
PN_MUST_CHECK pn_status cli_read_file(const cli_ctx *cli, const char *path,
                                      const cli_read_limit *limit,
                                      pn_buffer *out, pn_error *err);
/** Write a whole file beside its name and rename it: all or nothing. */
int cli_write_file(const cli_ctx *cli, const char *path, const char *text,
                   size_t text_len);
/** Text in the command's arena; never NULL ("" when memory is out). */
const char *cli_textf(const cli_ctx *cli, const char *fmt, ...) PN_PRINTF(2, 3);
/** The text itself, or on a terminal of 7-bit characters a copy in which the
 *  few other signs we use are spelt plainly. */
const char *cli_plain(const cli_ctx *cli, const char *text);
/** "of 1 days" -> percent on standard error, if a person is watching. */
void cli_progress(void *cli, const char *what, size_t done, size_t total);
/** A number with at most `decimals` decimals as JSON; NaN is null. */
json_t *cli_json_number(double value, int decimals);
/** A date as JSON "YYYY-MM-DD". */
json_t *cli_json_date(int32_t epoch_day);
json_t *cli_json_text(pn_text text);
/** The same text for a table's cell. */
const char *cli_cell_text(const cli_ctx *cli, pn_text text);

/* ---- help.c ----------------------------------------------------------- */

void cli_print_overview(FILE *out);
void cli_print_command_help(FILE *out, const cli_command *command);

/* ---- lookup.c --------------------------------------------------------- */

/** The notebook of this run; complains itself. */
int cli_open_notebook(const cli_ctx *cli, pn_notebook_mode mode,
                      pn_notebook **out);
/** A name that can be printed in a line: not blank, no control signs. */
PN_MUST_CHECK pn_status cli_check_name(const cli_ctx *cli, pn_text name,
                                       const char *what, pn_error *err);
struct pn_exchange_table;
/** Say which columns of a table are none of `known` (NULL ends) and so not
 *  read: a misspelt one must not be lost in silence. */
void cli_say_ignored(const cli_ctx *cli, const struct pn_exchange_table *table,
                     const char *const *known);
/** The patch of that name (case counts for nothing), else of that number;
 *  NULL when there is none. */
const pn_patch *cli_patch_named(const pn_patch_list *list, const char *name);
/** The same out of the notebook; complains itself. */
int cli_find_patch(const cli_ctx *cli, pn_notebook *notebook, const char *name,
                   pn_patch *out);
/** A kind by id or name; complains with the nearest. */
int cli_find_kind(const char *name, const pn_kind **out);
/** The named weather source, or the only one. */
int cli_find_source(const cli_ctx *cli, pn_notebook *notebook, const char *name,
                    pn_weather_source *out);
/** A whole number that names a fact of a list: "12". */
int cli_fact_number(const cli_args *args, int operand, const char *what,
                    int64_t *out);
/** --at, which must have been given; complains itself. */
int cli_position_value(const cli_args *args, double *latitude_deg,
                       double *longitude_deg);
/** "SU 852 664" for a place, or its degrees when it is off the grid. */
const char *cli_grid_text(const cli_ctx *cli, double latitude_deg,
                          double longitude_deg);

/* ---- what an outlook needs (outlook_input.c) ---------------------------- */

typedef struct cli_outlook_data {
    pn_outlook_input input;
    const int64_t *looked_since_unix_s; /**< of each pair of input */
    pn_weather *record;
    pn_weather *forecast; /**< NULL when there is none */
    pn_weather_source source;
    pn_patch_list patches; /**< same order as input.patches */
    pn_find_list finds;
    pn_visit_list visits;
} cli_outlook_data;

/** Read everything that an outlook for `issue` needs. patch and kinds filter
 *  (NULL: all). Options read: source, forecast, from. */
int cli_outlook_load(cli_ctx *cli, const cli_args *args, int32_t issue,
                     cli_outlook_data *out);
void cli_outlook_release(cli_outlook_data *data);

/** What the outlook was made from, and that it is a planning aid
 *  (cmd_outlook.c). */
const char *cli_made_line(const cli_ctx *cli, const cli_outlook_data *data,
                          const pn_outlook *outlook);
/** Print what stands behind one row (outlook_explain.c). */
int cli_explain_row(const cli_outlook_data *data, const pn_outlook *outlook,
                    const pn_outlook_row *row);
/** Print the first `count` rows as JSON (outlook_json.c). */
int cli_outlook_json(const cli_ctx *cli, const cli_args *args,
                     const cli_outlook_data *data, const pn_outlook *outlook,
                     const pn_outlook_row *rows, size_t count);

/* ---- what patches share (patch_facts.c) --------------------------------- */

/** The next word of a list between commas or semicolons; empty at its end. */
pn_text cli_next_word(pn_text *rest);
/** The kind of that name, for an error that a file's line is put before. */
PN_MUST_CHECK pn_status cli_kind_of(pn_text word, const pn_kind **out,
                                    pn_error *err);
/** Soil and cover are among the known words, or empty. */
PN_MUST_CHECK pn_status cli_check_ground(const pn_patch *patch, pn_error *err);
/** The name can be printed, and no other patch bears it. */
PN_MUST_CHECK pn_status cli_check_patch_name(const cli_ctx *cli,
                                             pn_notebook *notebook,
                                             const pn_patch *patch,
                                             pn_error *err);
/** Look for these kinds at the patch from now on. */
PN_MUST_CHECK pn_status cli_add_kinds(const cli_ctx *cli, pn_notebook *notebook,
                                      pn_text kinds, int64_t patch,
                                      pn_error *err);

/* ---- the guide (guide_words.c) ----------------------------------------- */

/** The texts of a guide, before anybody looked at what they say. */
typedef struct cli_guide_files {
    pn_sheets_file features;
    const pn_sheets_file *sheets;
    size_t sheet_count;
} cli_guide_files;

/** Those of --guide FOLDER, or the shipped ones (guide_load.c); complains
 *  itself. */
int cli_read_guide(const cli_ctx *cli, const cli_args *args,
                   cli_guide_files *out);
/** The shipped guide, or that of --guide FOLDER; complains itself. The caller
 *  frees with pn_sheets_free(). */
int cli_load_guide(const cli_ctx *cli, const cli_args *args, pn_sheets **out);
/** A sheet as JSON (guide_json.c). */
json_t *cli_sheet_json(const pn_guide *guide, const pn_sheet *sheet);
/** A sheet by id or name; complains with the nearest. */
int cli_find_sheet(const pn_guide *guide, const char *name, size_t *out);
/** "red_brown" as a person reads it: "red brown". */
const char *cli_words(const cli_ctx *cli, const char *id);
/** What the kind shows of a feature, commonest first: "olive (44 %), green (28
 *  %), ..." or "5 to 15 cm". */
const char *cli_trait_text(const cli_ctx *cli, const pn_guide *guide,
                           const pn_trait *trait);
/** Statistics of a file of spore sizes (cmd_spores.c). */
typedef struct cli_spores {
    pn_spores length, width, q; /**< width and q only with has_width */
    bool has_width;
} cli_spores;
int cli_read_spores(const cli_ctx *cli, const char *path, cli_spores *out);
/** "spore_length=8.10", with a ? when few were measured. */
const char *cli_spore_answer(const cli_ctx *cli, const char *feature,
                             const pn_spores *spores);
/** Every screen of the guide and the check ends in this. */
void cli_print_check_caution(const cli_ctx *cli);
extern const char cli_check_caution[];
extern const char cli_check_reminder[]; /**< both in one line */
extern const char cli_eaten_something[];

/** Program and guide, as "pannage 0.1.0, guide 1f2e3d4c5b6a7988": the digest
 *  of its files. NULL when they cannot be read; complains
 *  itself. */
const char *cli_guide_print(const cli_ctx *cli, const cli_args *args);
/** A kind a find may be of: one that is forecast, one of the guide, or
 *  "unknown"; its id, or NULL after a complaint. */
const char *cli_find_any_kind(const cli_ctx *cli, const char *name);

/* ---- photos, what was kept, reviews ------------------------------------- */

/** A whole photo into the arena, named by the last part of its path; complains
 *  itself (cmd_photo.c). */
int cli_read_photo(const cli_ctx *cli, const char *path, pn_photo *out);
/** --find or --check: a number, which must be that of a fact that is there;
 *  complains itself (cmd_photo.c). */
int cli_find_number(const cli_args *args, pn_notebook *notebook,
                    const cli_ctx *cli, int64_t *out);

/** Kinds are shown with what the guide says of them (kept_words.c). */
typedef struct cli_kind_words {
    const char *text; /**< "Fatal dapperling (deadly)" */
    bool dangerous;   /**< harmful, deadly, or not known */
    bool deadly;
} cli_kind_words;
cli_kind_words cli_words_of_kind(const cli_ctx *cli, const pn_guide *guide,
                                 pn_text kind);

/** What is up for review, in words that put health first; nothing when the
 *  list is empty. */
int cli_print_doubts(const cli_ctx *cli, const pn_doubt_list *doubts);
json_t *cli_doubts_json(const pn_doubt_list *doubts);
/** After a change: say that it is written, and at once what it brings up for
 *  review. JSON: {what: id, "up_for_review": [...]}. */
typedef struct cli_written {
    const char *what; /**< "find", as JSON names it */
    int64_t id;
    const char *line; /**< what to print, with its line end */
} cli_written;
int cli_say_written(const cli_ctx *cli, pn_notebook *notebook,
                    const cli_written *written,
                    const pn_notebook_filter *affected);

/* ---- the commands ----------------------------------------------------- */

int cmd_help(cli_ctx *cli, const cli_args *args);
int cmd_completion(cli_ctx *cli, const cli_args *args);
int cmd_outlook(cli_ctx *cli, const cli_args *args);
int cmd_season(cli_ctx *cli, const cli_args *args);
int cmd_kinds(cli_ctx *cli, const cli_args *args);
int cmd_place_add(cli_ctx *cli, const cli_args *args);
int cmd_place_list(cli_ctx *cli, const cli_args *args);
int cmd_patch_add(cli_ctx *cli, const cli_args *args);
int cmd_patch_correct(cli_ctx *cli, const cli_args *args);
int cmd_patch_retract(cli_ctx *cli, const cli_args *args);
int cmd_patch_list(cli_ctx *cli, const cli_args *args);
int cmd_patch_import(cli_ctx *cli, const cli_args *args);
int cmd_visit_add(cli_ctx *cli, const cli_args *args);
int cmd_visit_list(cli_ctx *cli, const cli_args *args);
int cmd_visit_import(cli_ctx *cli, const cli_args *args);
int cmd_visit_correct(cli_ctx *cli, const cli_args *args);
int cmd_visit_retract(cli_ctx *cli, const cli_args *args);
int cmd_visit_history(cli_ctx *cli, const cli_args *args);
int cmd_find_correct(cli_ctx *cli, const cli_args *args);
int cmd_find_retract(cli_ctx *cli, const cli_args *args);
int cmd_weather_import(cli_ctx *cli, const cli_args *args);
int cmd_weather_list(cli_ctx *cli, const cli_args *args);
int cmd_weather_generate(cli_ctx *cli, const cli_args *args);
int cmd_sun(cli_ctx *cli, const cli_args *args);
int cmd_notebook_init(cli_ctx *cli, const cli_args *args);
int cmd_notebook_info(cli_ctx *cli, const cli_args *args);
int cmd_notebook_verify(cli_ctx *cli, const cli_args *args);
int cmd_notebook_backup(cli_ctx *cli, const cli_args *args);
int cmd_notebook_upgrade(cli_ctx *cli, const cli_args *args);
int cmd_score_soil(cli_ctx *cli, const cli_args *args);
int cmd_guide(cli_ctx *cli, const cli_args *args);
int cmd_guide_list(cli_ctx *cli, const cli_args *args);
int cmd_guide_compare(cli_ctx *cli, const cli_args *args);
int cmd_guide_features(cli_ctx *cli, const cli_args *args);
int cmd_guide_lint(cli_ctx *cli, const cli_args *args);
int cmd_spores(cli_ctx *cli, const cli_args *args);
int cmd_check(cli_ctx *cli, const cli_args *args);
int cmd_check_kept(cli_ctx *cli, const cli_args *args);
int cmd_check_show(cli_ctx *cli, const cli_args *args);
int cmd_check_correct(cli_ctx *cli, const cli_args *args);
int cmd_photo_add(cli_ctx *cli, const cli_args *args);
int cmd_photo_list(cli_ctx *cli, const cli_args *args);
int cmd_photo_save(cli_ctx *cli, const cli_args *args);
int cmd_jar_add(cli_ctx *cli, const cli_args *args);
int cmd_meal_add(cli_ctx *cli, const cli_args *args);
int cmd_kept_list(cli_ctx *cli, const cli_args *args);
int cmd_kept_correct(cli_ctx *cli, const cli_args *args);
int cmd_review(cli_ctx *cli, const cli_args *args);
int cmd_review_close(cli_ctx *cli, const cli_args *args);

#endif
