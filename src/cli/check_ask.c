/* The conversation: one question at a time, the dangers always in sight. On a
 * terminal the answer is picked with the arrow keys or typed; without one, or
 * with --typed (for a screen reader), it is typed alone. */
#include "check_cli.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>

enum { LINE_BYTES = 256, ALWAYS_SHOWN = 6 };

typedef enum ask_result { TAKE, UNDO, UNSURE, STATUS, QUIT, AGAIN } ask_result;

/* ---- saving
 * -------------------------------------------------------------------- */

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

/* ---- typed
 * ----------------------------------------------------------------------- */

static bool read_line(char *line, size_t size) {
    if (fgets(line, (int)size, stdin) == NULL) {
        return false;
    }
    line[strcspn(line, "\r\n")] = '\0';
    return true;
}

static ask_result command_of(const char *word) {
    static const struct {
        const char *word;
        ask_result turn;
    } words[] = {{"u", UNSURE},  {"unsure", UNSURE}, {"b", UNDO},
                 {"back", UNDO}, {"s", STATUS},      {"status", STATUS},
                 {"q", QUIT},    {"quit", QUIT}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strcmp(word, words[i].word) == 0) {
            return words[i].turn;
        }
    }
    return AGAIN;
}

static ask_result command_of_key(int key) {
    switch (key) {
    case 'u':
        return UNSURE;
    case 'b':
        return UNDO;
    case 's':
        return STATUS;
    case 'q':
        return QUIT;
    default:
        return AGAIN;
    }
}

static ask_result understand(const pn_check *check, const pn_feature *feature,
                             const char *line, pn_answer *out) {
    char text[LINE_BYTES + 96];
    int64_t number = 0;
    pn_error err = {0};
    ask_result command = command_of(line);
    if (command != AGAIN) {
        return command;
    }
    if (!feature->is_range && pn_text_to_int(pn_text_of(line), &number) &&
        number >= 1 && (size_t)number <= feature->state_count) {
        snprintf(text, sizeof text, "%s=%s", feature->id,
                 feature->states[number - 1]);
    } else {
        snprintf(text, sizeof text, "%s=%s", feature->id, line);
    }
    for (char *c = text; *c != '\0'; c++) {
        *c = *c == ' ' ? '_' : *c;
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
    printf("%s, a ? behind it if not sure; u unsure, b back, s status, q "
           "quit: ",
           feature->is_range ? cli_textf(cli, "A number in %s", feature->unit)
                             : "Number or word");
    fflush(stdout);
    if (!read_line(line, sizeof line)) {
        putchar('\n');
        return QUIT;
    }
    return line[0] == '\0' ? AGAIN : understand(check, feature, line, out);
}

/* ---- picked
 * ------------------------------------------------------------------------ */

static bool raw_mode(struct termios *before) {
    struct termios raw;
    if (tcgetattr(STDIN_FILENO, before) != 0) {
        return false;
    }
    raw = *before;
    raw.c_lflag &= (tcflag_t) ~(ICANON | ECHO);
    raw.c_cc[VMIN] = 1;
    raw.c_cc[VTIME] = 0;
    return tcsetattr(STDIN_FILENO, TCSADRAIN, &raw) == 0;
}

enum { KEY_UP = 1000, KEY_DOWN, KEY_END };

static int read_key(void) {
    unsigned char c = 0;
    if (read(STDIN_FILENO, &c, 1) != 1) {
        return KEY_END;
    }
    if (c != 27) {
        return c;
    }
    unsigned char more[2] = {0};
    if (read(STDIN_FILENO, more, 1) != 1 || more[0] != '[' ||
        read(STDIN_FILENO, more + 1, 1) != 1) {
        return 27;
    }
    return more[1] == 'A' ? KEY_UP : more[1] == 'B' ? KEY_DOWN : 27;
}

static void draw_menu(const cli_ctx *cli, const pn_feature *feature, size_t at,
                      bool again) {
    if (again) {
        printf("\033[%zuA", feature->state_count + 1);
    }
    for (size_t s = 0; s < feature->state_count; s++) {
        printf("\033[K %s %s%s%s\n", s == at ? ">" : " ",
               s == at && cli->colour ? "\033[7m" : "",
               cli_words(cli, feature->states[s]),
               s == at && cli->colour ? "\033[0m" : "");
    }
    printf("\033[K arrows and Enter; ? for probably; u unsure, b back, s "
           "status, q quit\n");
    fflush(stdout);
}

static ask_result ask_picked(const cli_ctx *cli, const pn_feature *feature,
                             pn_answer *out) {
    struct termios before;
    size_t at = 0;
    ask_result turn = AGAIN;
    if (!raw_mode(&before)) {
        return QUIT;
    }
    draw_menu(cli, feature, at, false);
    while (turn == AGAIN) {
        int key = read_key();
        if (key == KEY_UP || key == 'k') {
            at = at == 0 ? feature->state_count - 1 : at - 1;
        } else if (key == KEY_DOWN || key == 'j') {
            at = at + 1 == feature->state_count ? 0 : at + 1;
        } else if (key == '\n' || key == '\r' || key == '?') {
            out->state = at;
            out->certainty = key == '?' ? PN_PROBABLE : PN_CERTAIN;
            turn = TAKE;
        } else if (key == KEY_END || key == 4) {
            turn = QUIT;
        } else {
            turn = command_of_key(key);
        }
        draw_menu(cli, feature, at, true);
    }
    tcsetattr(STDIN_FILENO, TCSADRAIN, &before);
    return turn;
}

/* ---- the conversation
 * ----------------------------------------------------------------- */

static ask_result ask_one(const cli_ctx *cli, const pn_check *check,
                          const check_view *view, bool picked, pn_answer *out) {
    size_t feature = view->next[0].feature;
    const pn_feature *f = &view->guide->features[feature];
    *out = (pn_answer){.feature = feature};
    printf("\n");
    check_print_dangers(cli, view, ALWAYS_SHOWN);
    printf("\n%s%s%s (%s)\n", cli->colour ? "\033[1m" : "", f->ask,
           cli->colour ? "\033[0m" : "", pn_effort_name(f->effort));
    return picked && !f->is_range ? ask_picked(cli, f, out)
                                  : ask_typed(cli, check, f, out);
}

static int act(const cli_ctx *cli, pn_check_session *session,
               const check_view *view, ask_result turn, pn_answer *answer) {
    pn_error err = {0};
    switch (turn) {
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

int check_ask(cli_ctx *cli, pn_check_session *session, const pn_check *check,
              size_t focus, const char *save_path) {
    const char *term = getenv("TERM");
    bool picked = cli->columns > 0 && !cli->typed &&
                  isatty(STDIN_FILENO) == 1 && term != NULL &&
                  strcmp(term, "dumb") != 0;
    const pn_guide *guide = pn_check_guide(check);
    check_view view;
    int code = CLI_OK;
    for (ask_result turn = AGAIN; code == CLI_OK && turn != QUIT;) {
        pn_answer answer;
        code = check_look(cli, session, guide, focus, &view);
        if (code != CLI_OK || view.next_count == 0) {
            break;
        }
        turn = ask_one(cli, check, &view, picked, &answer);
        code = act(cli, session, &view, turn, &answer);
        if (code == CLI_OK && save_path != NULL &&
            (turn == TAKE || turn == UNSURE || turn == UNDO)) {
            code = check_save(cli, session, guide, save_path);
        }
    }
    return code;
}
