/* The door: surroundings in, one command run, its exit code out. */
/* NOLINTNEXTLINE(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp) */
#define _DEFAULT_SOURCE /* struct winsize */
#include "cli.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

static bool set(const char *value) {
    return value != NULL && value[0] != '\0';
}

static bool terminal_is_utf8(void) {
    const char *locale = getenv("LC_ALL");
    locale = set(locale) ? locale : getenv("LC_CTYPE");
    locale = set(locale) ? locale : getenv("LANG");
    const char *charset = set(locale) ? strchr(locale, '.') : NULL;
    return charset != NULL && (strncasecmp(charset + 1, "utf-8", 5) == 0 ||
                               strncasecmp(charset + 1, "utf8", 4) == 0);
}

static int terminal_columns(void) {
    const char *given = getenv("COLUMNS");
    int64_t columns = 0;
    struct winsize size;
    if (!set(given) || !pn_text_to_int(pn_text_of(given), &columns)) {
        columns =
            ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 ? size.ws_col : 80;
    }
    return columns < 40 ? 40 : columns > 200 ? 200 : (int)columns;
}

static int32_t local_today(int64_t now_unix_s) {
    time_t now = (time_t)now_unix_s;
    struct tm tm;
    if (localtime_r(&now, &tm) == NULL) {
        return (int32_t)(now_unix_s / 86400);
    }
    return pn_date_to_epoch_day(
        (pn_date){tm.tm_year + 1900, tm.tm_mon + 1, tm.tm_mday});
}

static const char *default_notebook(const cli_ctx *cli) {
    const char *given = getenv("PANNAGE_NOTEBOOK");
    const char *data = getenv("XDG_DATA_HOME");
    const char *home = getenv("HOME");
    if (set(given)) {
        return given;
    }
    if (set(data)) {
        return cli_textf(cli, "%s/pannage/notebook.pannage", data);
    }
    return cli_textf(cli, "%s/.local/share/pannage/notebook.pannage",
                     set(home) ? home : ".");
}

static void look_around(cli_ctx *cli) {
    bool out_is_terminal = isatty(STDOUT_FILENO) == 1;
    const char *term = getenv("TERM");
    bool dumb = !set(term) || strcmp(term, "dumb") == 0;
    cli->now_unix_s = (int64_t)time(NULL);
    cli->today_epoch_day = local_today(cli->now_unix_s);
    cli->notebook_path = default_notebook(cli);
    cli->colour = out_is_terminal && !dumb && !set(getenv("NO_COLOR"));
    cli->columns = out_is_terminal ? terminal_columns() : 0;
    /* A file or a pipe gets UTF-8 whatever the terminal can show. */
    cli->ascii = out_is_terminal && !terminal_is_utf8();
    cli->show_progress = isatty(STDERR_FILENO) == 1 && !dumb;
}

static int apply_globals(cli_ctx *cli, const cli_args *args) {
    const char *colour = cli_value(args, "colour");
    const char *notebook = cli_value(args, "notebook");
    int64_t width = cli->columns;
    cli->json = cli_flag(args, "json");
    cli->ascii = cli->ascii || cli_flag(args, "ascii");
    cli->quiet = cli_flag(args, "quiet");
    cli->show_progress = cli->show_progress && !cli->quiet;
    cli->notebook_path = notebook != NULL ? notebook : cli->notebook_path;
    if (colour != NULL && strcmp(colour, "never") != 0 &&
        strcmp(colour, "always") != 0 && strcmp(colour, "auto") != 0) {
        return cli_fail(CLI_USAGE,
                        "--colour: '%s' is not never, auto or always", colour);
    }
    if (colour != NULL && strcmp(colour, "auto") != 0) {
        cli->colour = strcmp(colour, "always") == 0;
    }
    int code = cli_int_value(args, "width", 40, 200, &width);
    cli->columns = (int)width;
    return code;
}

static int run(cli_ctx *cli, const cli_command *command, char **argv,
               int argc) {
    cli_args args;
    int code = cli_parse(command, argv, argc, &args);
    if (code == CLI_OK) {
        code = apply_globals(cli, &args);
    }
    if (code != CLI_OK) {
        return code;
    }
    if (cli_flag(&args, "help")) {
        cli_print_command_help(stdout, command);
        return CLI_OK;
    }
    return command->run(cli, &args);
}

/* "pannage --notebook FILE outlook" means "pannage outlook --notebook FILE":
 * options before the command go behind it. Returns how many words they take,
 * or -1. */
static int leading_options(char *const *argv, int argc) {
    int at = 0;
    while (at < argc && strncmp(argv[at], "--", 2) == 0) {
        const char *name = argv[at] + 2;
        size_t len = strcspn(name, "=");
        const cli_option *option = cli_globals;
        while (option->name != NULL &&
               (strlen(option->name) != len ||
                strncmp(option->name, name, len) != 0)) {
            option++;
        }
        if (option->name == NULL) {
            return -1;
        }
        at += option->metavar != NULL && name[len] == '\0' ? 2 : 1;
    }
    return at <= argc ? at : -1;
}

static int dispatch(cli_ctx *cli, char **argv, int argc) {
    if (argc == 0) {
        cli_print_overview(stderr);
        return CLI_USAGE;
    }
    if (strcmp(argv[0], "--version") == 0) {
        puts("pannage " PN_VERSION);
        return CLI_OK;
    }
    if (strcmp(argv[0], "--help") == 0 || strcmp(argv[0], "-h") == 0) {
        cli_print_overview(stdout);
        return CLI_OK;
    }
    int leading = leading_options(argv, argc);
    if (leading < 0) {
        return cli_fail(CLI_USAGE, "unknown option %s; see 'pannage help'",
                        argv[0]);
    }
    if (leading == argc) {
        return cli_fail(CLI_USAGE, "which command? 'pannage help' lists them");
    }
    int words = 0;
    const cli_command *command =
        cli_find_command(argv + leading, argc - leading, &words);
    if (command == NULL) {
        char *asked[] = {argv[leading], NULL};
        (void)cmd_help(cli,
                       &(cli_args){.positional = asked, .positional_count = 1});
        return CLI_USAGE;
    }
    /* command word, leading options, then the rest, as getopt wants it */
    char **line = pn_arena_array(cli->arena, (size_t)argc + 1, sizeof *line);
    if (line == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    int count = 0;
    line[count++] = argv[leading];
    for (int i = 0; i < leading; i++) {
        line[count++] = argv[i];
    }
    for (int i = leading + words; i < argc; i++) {
        line[count++] = argv[i];
    }
    return run(cli, command, line, count);
}

int main(int argc, char **argv) {
    cli_ctx cli = {.alloc = pn_alloc_libc};
    pn_error err = {0};
    if (pn_arena_new(&cli.alloc, &cli.arena, &err) != PN_OK) {
        return cli_fail_error(&err);
    }
    look_around(&cli);
    int code = dispatch(&cli, argv + 1, argc > 0 ? argc - 1 : 0);
    pn_arena_free(cli.arena);
    if ((fflush(stdout) != 0 || ferror(stdout)) && code != CLI_SYSTEM) {
        code = cli_fail(CLI_SYSTEM, "could not write the output: %s",
                        strerror(errno));
    }
    return code;
}
