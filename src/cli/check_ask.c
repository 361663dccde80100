/* The conversation: one question at a time, the dangers always in sight. On a
 * terminal the answer is picked with the arrow keys; without one, or with
 * --typed (for a screen reader), it is typed, and nothing is ever redrawn. */
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "check_cli.h"

enum { LINE_BYTES = 256, ALWAYS_SHOWN = 6, LIKELIEST_SHOWN = 3 };

typedef enum ask_result { TAKE, UNDO, UNSURE, STATUS, QUIT, AGAIN } ask_result;

/* ---- saving ----------------------------------------------------------------
 */

int check_save(const cli_ctx *cli, const pn_check_session *session,
               const pn_guide *guide, const char *path) {
    pn_buffer buffer;
    size_t count = 0;
    const pn_answer *answers = pn_check_answers(session, &count);
    pn_buffer_init(&buffer, &cli->alloc);
    pn_buffer_addf(&buffer, "# pannage check\n");
    for (size_t i = 0; i < count; i++) {
        pn_buffer_addf(&buffer, "%s=%s\n",
                       guide->features[answers[i].feature].id,
                       check_answer_text(cli, guide, &answers[i]));
    }
    int code = cli_write_file(cli, path, pn_buffer_text(&buffer), buffer.len);
    pn_buffer_deinit(&buffer);
    return code;
}

/* ---- typed -----------------------------------------------------------------
 */

static bool read_line(char *line, size_t size) {
    if (fgets(line, (int)size, stdin) == NULL) {
        putchar('\n');
        return false;
    }
    line[strcspn(line, "\r\n")] = '\0';
    return true;
}

static ask_result command_of(const char *word) {
    static const struct {
        const char *word;
        ask_result result;
    } words[] = {{"u", UNSURE},  {"unsure", UNSURE}, {"b", UNDO},
                 {"back", UNDO}, {"s", STATUS},      {"status", STATUS},
                 {"q", QUIT},    {"quit", QUIT}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strcmp(word, words[i].word) == 0) {
            return words[i].result;
        }
    }
    return AGAIN;
}

/* "3", "olive", "olive?", or of any other feature "ring=none". */
static ask_result understand(const pn_check *check, const pn_feature *feature,
                             const char *line, pn_answer *out) {
    char text[LINE_BYTES + 96];
    int64_t number = 0;
    size_t len = strlen(line);
    bool maybe = len > 1 && line[len - 1] == '?';
    pn_text bare = pn_text_trim((pn_text){line, len - (maybe ? 1 : 0)});
    pn_error err = {0};
    if (!feature->is_range && pn_text_to_int(bare, &number) && number >= 1 &&
        (size_t)number <= feature->state_count) {
        snprintf(text, sizeof text, "%s=%s%s", feature->id,
                 feature->states[number - 1], maybe ? "?" : "");
    } else if (strchr(line, '=') != NULL) {
        snprintf(text, sizeof text, "%s", line);
    } else {
        snprintf(text, sizeof text, "%s=%s", feature->id, line);
    }
    for (char *c = strchr(text, ' '); c != NULL; c = strchr(c, ' ')) {
        *c = '_';
    }
    if (pn_check_answer_parse(check, pn_text_of(text), out, &err) == PN_OK) {
        return TAKE;
    }
    printf("%s\n", err.message);
    return AGAIN;
}

static ask_result ask_typed(const cli_ctx *cli, const pn_check *check,
                            const pn_feature *feature, pn_answer *out) {
    char line[LINE_BYTES];
    for (size_t s = 0; s < feature->state_count; s++) {
        printf("  %2zu  %s\n", s + 1, cli_words(cli, feature->states[s]));
    }
    printf("%s; ? after it: probably; u unsure, b back, s status, q quit\n> ",
           feature->is_range ? cli_textf(cli, "A number, in %s", feature->unit)
                             : "Number or word");
    fflush(stdout);
    if (!read_line(line, sizeof line)) {
        return QUIT;
    }
    ask_result command = command_of(line);
    return command != AGAIN || line[0] == '\0'
               ? command
               : understand(check, feature, line, out);
}

/* ---- picked ----------------------------------------------------------------
 */

static void draw_menu(const cli_ctx *cli, const pn_feature *feature, size_t at,
                      bool again) {
    if (again) {
        printf("\033[%zuA", feature->state_count + 1);
    }
    for (size_t s = 0; s < feature->state_count; s++) {
        bool here = s == at;
        printf("\033[K %s %s%s%s\n", here ? ">" : " ",
               here && cli->colour ? "\033[7m" : "",
               cli_words(cli, feature->states[s]),
               here && cli->colour ? "\033[0m" : "");
    }
    printf("\033[K  arrows, Enter; ? probably, u unsure, b back, o other, s "
           "status, q quit\n");
    fflush(stdout);
}

/* Moves in the menu itself; else what the key asks for. */
static check_key pick_key(const cli_ctx *cli, const pn_feature *feature,
                          size_t *at) {
    draw_menu(cli, feature, *at, false);
    for (;;) {
        check_key key = check_read_key();
        if (key == CHECK_KEY_UP) {
            *at = *at == 0 ? feature->state_count - 1 : *at - 1;
        } else if (key == CHECK_KEY_DOWN) {
            *at = *at + 1 == feature->state_count ? 0 : *at + 1;
        } else if (key != CHECK_KEY_NONE) {
            return key;
        }
        draw_menu(cli, feature, *at, true);
    }
}

static ask_result ask_other(const pn_check *check, const pn_feature *feature,
                            pn_answer *out) {
    char line[LINE_BYTES];
    printf("What did you see? feature=state, as ring=none\n> ");
    fflush(stdout);
    if (!read_line(line, sizeof line)) {
        return QUIT;
    }
    return line[0] == '\0' ? AGAIN : understand(check, feature, line, out);
}

static ask_result ask_picked(const cli_ctx *cli, const pn_check *check,
                             const pn_feature *feature, pn_answer *out) {
    size_t at = 0;
    check_key key = pick_key(cli, feature, &at);
    switch (key) {
    case CHECK_KEY_TAKE:
    case CHECK_KEY_MAYBE:
        out->state = at;
        out->certainty = key == CHECK_KEY_MAYBE ? PN_PROBABLE : PN_CERTAIN;
        return TAKE;
    case CHECK_KEY_UNSURE:
        return UNSURE;
    case CHECK_KEY_BACK:
        return UNDO;
    case CHECK_KEY_STATUS:
        return STATUS;
    case CHECK_KEY_OTHER:
        return ask_other(check, feature, out);
    case CHECK_KEY_QUIT:
    case CHECK_KEY_NONE:
    case CHECK_KEY_UP:
    case CHECK_KEY_DOWN:
    default:
        return QUIT;
    }
}

/* ---- the conversation ------------------------------------------------------
 */

static void print_likeliest(const cli_ctx *cli, const check_view *view) {
    char buf[400];
    pn_str str = pn_str_in(buf, sizeof buf);
    pn_str_addf(&str, "Likeliest:");
    for (size_t i = 0; i < view->suspect_count && i < LIKELIEST_SHOWN; i++) {
        const pn_suspect *s = &view->suspects[i];
        bool known = s->sheet != PN_GUIDE_NONE;
        const pn_sheet *sheet = known ? &view->guide->sheets[s->sheet] : NULL;
        pn_str_addf(
            &str, "%s %s%s %.0f %%", i > 0 ? "," : "",
            known ? sheet->english : "something in no guide",
            known && pn_guide_is_danger(sheet->status)
                ? cli_textf(cli, " (%s)", pn_guide_status_name(sheet->status))
                : "",
            100.0 * s->posterior);
    }
    pn_str_addf(&str, ".");
    cli_print_paragraph(cli, 0, cli_plain(cli, buf));
}

static ask_result ask_one(const cli_ctx *cli, const pn_check *check,
                          const check_view *view, pn_answer *out) {
    const pn_feature *f = &view->guide->features[view->next[0].feature];
    *out = (pn_answer){.feature = view->next[0].feature};
    printf("\n");
    check_print_dangers(cli, view, ALWAYS_SHOWN);
    print_likeliest(cli, view);
    cli_print_paragraph(cli, 0, cli_check_reminder);
    printf("\n%s%s%s (%s)\n", cli->colour ? "\033[1m" : "", f->ask,
           cli->colour ? "\033[0m" : "", pn_effort_name(f->effort));
    return !f->is_range && check_can_pick(cli, f->state_count + 2)
               ? ask_picked(cli, check, f, out)
               : ask_typed(cli, check, f, out);
}

static int act(const cli_ctx *cli, pn_check_session *session,
               const check_view *view, ask_result result, pn_answer *answer) {
    pn_error err = {0};
    switch (result) {
    case UNSURE:
        answer->certainty = PN_UNSURE;
        return pn_check_answer(session, answer, &err) == PN_OK
                   ? CLI_OK
                   : cli_fail_error(&err);
    case TAKE:
        return pn_check_answer(session, answer, &err) == PN_OK
                   ? CLI_OK
                   : cli_fail_error(&err);
    case UNDO:
        if (!pn_check_undo(session)) {
            printf("There is nothing to take back.\n");
        }
        return CLI_OK;
    case STATUS:
        check_print_report(cli, view);
        return CLI_OK;
    case QUIT:
    case AGAIN:
    default:
        return CLI_OK;
    }
}

static void tell_how_it_ends(const check_view *view, const char *save_path) {
    if (view->open_count == 0) {
        printf("\nNothing that is listed is left to ask for this kind.\n");
    } else if (view->next_count == 0) {
        printf("\nThere is nothing left to ask.\n");
    } else if (save_path != NULL) {
        printf("\nKept in %s; the same command goes on from there.\n",
               save_path);
    }
    printf("\n");
}

int check_ask(cli_ctx *cli, pn_check_session *session, const pn_check *check,
              size_t focus, const char *save_path) {
    const pn_guide *guide = pn_check_guide(check);
    check_view view = {0};
    int code = CLI_OK;
    for (ask_result result = AGAIN; code == CLI_OK && result != QUIT;) {
        pn_answer answer;
        code = check_look(cli, session, guide, focus, &view);
        if (code != CLI_OK || view.next_count == 0 || view.open_count == 0) {
            break;
        }
        result = ask_one(cli, check, &view, &answer);
        code = act(cli, session, &view, result, &answer);
        if (code == CLI_OK && save_path != NULL &&
            (result == TAKE || result == UNSURE || result == UNDO)) {
            code = check_save(cli, session, guide, save_path);
        }
    }
    if (code == CLI_OK) {
        tell_how_it_ends(&view, save_path);
    }
    return code;
}
