/** @file check_cli.h
 * What the files of the check command share.
 */
#ifndef PN_CHECK_CLI_H
#define PN_CHECK_CLI_H

#include "cli.h"

/** A dangerous kind that is not ruled out. */
typedef struct check_danger {
    size_t sheet;
    double posterior;
    size_t against[PN_GUIDE_LIST_MAX]; /**< features seen that contradict it */
    size_t against_count;
    size_t would_tell[3]; /**< features to look at; deciding ones first */
    size_t would_tell_count;
} check_danger;

/** One look at a session. */
typedef struct check_view {
    const pn_check_session *session;
    const pn_guide *guide;
    size_t focus; /**< the kind asked for, or PN_GUIDE_NONE */
    size_t kind;  /**< the kind the gate was tried on, or PN_GUIDE_NONE */
    pn_suspect *suspects;
    size_t suspect_count;
    pn_gate_open *open; /**< weightiest first */
    size_t open_count;
    check_danger *dangers; /**< likeliest first */
    size_t danger_count;
    size_t *thin; /**< ruled out by one organ and long odds only */
    size_t thin_count;
    double danger; /**< mass */
    pn_next next[8];
    size_t next_count;
    int64_t kept; /**< number under which it was kept; 0: it was not */
} check_view;

/* ---- check_view.c ------------------------------------------------------ */

int check_look(const cli_ctx *cli, const pn_check_session *session,
               const pn_guide *guide, size_t focus, check_view *out);
/** "olive", "7.5", "meal?", "unsure". */
const char *check_answer_text(const cli_ctx *cli, const pn_guide *guide,
                              const pn_answer *answer);
/** "stem surface, spore print". */
const char *check_feature_list(const cli_ctx *cli, const pn_guide *guide,
                               const size_t *features, size_t count);
/** What is open, as a sentence without its full stop. */
const char *check_open_text(const cli_ctx *cli, const check_view *view,
                            const pn_gate_open *open);

/* ---- check_report.c, check_json.c --------------------------------------- */

void check_print_dangers(const cli_ctx *cli, const check_view *view,
                         size_t most);
void check_print_report(const cli_ctx *cli, const check_view *view);
int check_print_json(const cli_ctx *cli, const check_view *view);

/* ---- check_ask.c, check_keys.c ------------------------------------------- */

typedef enum check_key {
    CHECK_KEY_NONE, /**< something else */
    CHECK_KEY_UP,
    CHECK_KEY_DOWN,
    CHECK_KEY_TAKE,  /**< Enter */
    CHECK_KEY_MAYBE, /**< ? */
    CHECK_KEY_UNSURE,
    CHECK_KEY_BACK,
    CHECK_KEY_STATUS,
    CHECK_KEY_OTHER, /**< o: another observation, typed */
    CHECK_KEY_QUIT   /**< q, Ctrl-C, Ctrl-D, end of input */
} check_key;

/** True when a menu of that many lines can be drawn and moved in. */
bool check_can_pick(const cli_ctx *cli, size_t lines);
/** One key of the terminal, which is put back as it was. */
check_key check_read_key(void);

/** Ask one question after the other until the person has had enough or the
 *  gate opens. Writes answers to save_path after each, unless NULL. */
int check_ask(cli_ctx *cli, pn_check_session *session, const pn_check *check,
              size_t focus, const char *save_path);
/** All answers as "feature=state" lines. */
int check_save(const cli_ctx *cli, const pn_check_session *session,
               const pn_guide *guide, const char *path);

/* ---- check_keep.c ------------------------------------------------------- */

/** What 'check --keep' was told to keep it with: looked at before the first
 *  question, so that no answers are lost to a slip. */
typedef struct check_keep {
    bool wanted;
    const cli_args *args;
    const pn_check_context *context;
    int64_t find; /**< 0: none */
    pn_photo *photos;
    size_t photo_count;
} check_keep;

int check_keep_prepare(const cli_ctx *cli, const cli_args *args,
                       const pn_check_context *context, check_keep *out);
/** Session and photos, or nothing; sets view->kept. Complains itself. */
int check_keep_write(const cli_ctx *cli, const check_keep *keep,
                     check_view *view);

#endif
