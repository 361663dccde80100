/** @file check_cli.h
 * What the files of the check command share.
 */
#ifndef PN_CHECK_CLI_H
#define PN_CHECK_CLI_H

#include "cli.h"

/** One look at a session. */
typedef struct check_view {
    const pn_check_session *session;
    const pn_guide *guide;
    size_t focus; /**< the kind asked for, or PN_GUIDE_NONE */
    size_t kind;  /**< the kind the gate was tried on, or PN_GUIDE_NONE */
    pn_suspect *suspects;
    size_t suspect_count;
    pn_gate_open *open;
    size_t open_count;
    double danger;
    pn_next next[8];
    size_t next_count;
} check_view;

int check_look(const cli_ctx *cli, const pn_check_session *session,
               const pn_guide *guide, size_t focus, check_view *out);
size_t check_kind_in_mind(const check_view *view);
size_t check_count_dangers(const check_view *view);
void check_print_dangers(const cli_ctx *cli, const check_view *view,
                         size_t most);
void check_print_report(const cli_ctx *cli, const check_view *view);
int check_print_json(const cli_ctx *cli, const check_view *view);
/** "olive", "7.5", "meal?", "unsure". */
const char *check_answer_text(const cli_ctx *cli, const pn_guide *guide,
                              const pn_answer *answer);

/** Ask one question after the other until the person has had enough
 *  (check_ask.c). Writes answers to save_path after each, unless NULL. */
int check_ask(cli_ctx *cli, pn_check_session *session, const pn_check *check,
              size_t focus, const char *save_path);
/** All answers as "feature=state" lines. */
int check_save(const cli_ctx *cli, const pn_check_session *session,
               const pn_guide *guide, const char *path);

#endif
