#include "cli.h"

#include <string.h>

enum { HELP_COLUMNS = 78 };

/* Words wrapped at HELP_COLUMNS, after `indent` blanks; the first line goes on
 * from column `at`. */
static void print_wrapped(FILE *out, const char *text, int indent, int at) {
    while (*text != '\0') {
        size_t word = strcspn(text, " \n");
        if (at > indent && at + 1 + (int)word > HELP_COLUMNS) {
            fputc('\n', out);
            at = 0;
        }
        if (at < indent) {
            fprintf(out, "%*s", indent - at, "");
            at = indent;
        } else if (at > indent) {
            fputc(' ', out);
            at++;
        }
        fwrite(text, 1, word, out);
        at += (int)word;
        text += word;
        if (*text == '\n') { /* a line end in the text is a line end */
            fputc('\n', out);
            at = 0;
            text++;
        }
        text += strspn(text, " ");
    }
    fputc('\n', out);
}

static void print_options(FILE *out, const cli_option *options) {
    enum { HELP_AT = 27 };
    for (; options != NULL && options->name != NULL; options++) {
        int at = fprintf(out, "  --%s%s%s", options->name,
                         options->metavar != NULL ? " " : "",
                         options->metavar != NULL ? options->metavar : "");
        if (at > HELP_AT - 2) {
            fputc('\n', out);
            at = 0;
        }
        fprintf(out, "%*s", HELP_AT - at, "");
        print_wrapped(out, options->help, HELP_AT, HELP_AT);
    }
}

void cli_print_overview(FILE *out) {
    fputs("pannage: where to go this week for wild food, what will be up, and "
          "why.\n"
          "A planning aid: it never says that a thing is safe to eat.\n\n"
          "usage: pannage [--notebook FILE] COMMAND [OPTION...]\n\n",
          out);
    for (size_t i = 0; i < cli_command_count; i++) {
        int at = fprintf(out, "  %s", cli_commands[i].name);
        fprintf(out, "%*s", 22 - at, "");
        print_wrapped(out, cli_commands[i].summary, 22, 22);
    }
    fputs("\nEvery command takes:\n", out);
    print_options(out, cli_globals);
    fputs("\n'pannage help COMMAND' tells the rest; the man page tells all.\n",
          out);
}

void cli_print_command_help(FILE *out, const cli_command *command) {
    fprintf(out, "pannage %s: %s\n\nusage: pannage %s%s%s%s\n\n", command->name,
            command->summary, command->name,
            command->options->name != NULL ? " [OPTION...]" : "",
            command->args[0] != '\0' ? " " : "", command->args);
    print_wrapped(out, command->details, 0, 0);
    if (command->options->name != NULL) {
        fputs("\nOptions:\n", out);
        print_options(out, command->options);
    }
    fputs("\nEvery command takes:\n", out);
    print_options(out, cli_globals);
}

/* ---- the man page ----------------------------------------------------- */

/* A leading '.' or '\'' would be a request, and '\\' an escape. */
static void roff_text(FILE *out, const char *text) {
    bool line_start = true;
    for (; *text != '\0'; text++) {
        if (line_start && (*text == '.' || *text == '\'')) {
            fputs("\\&", out);
        }
        line_start = *text == '\n';
        switch (*text) {
        case '\\':
            fputs("\\e", out);
            break;
        case '-':
            fputs("\\-", out);
            break;
        case '\n':
            fputs("\n.br\n", out);
            break;
        default:
            fputc(*text, out);
        }
    }
    fputc('\n', out);
}

static void roff_options(FILE *out, const cli_option *options) {
    for (; options != NULL && options->name != NULL; options++) {
        fputs(".TP\n.B \\-\\-", out);
        for (const char *c = options->name; *c != '\0'; c++) {
            fputs(*c == '-' ? "\\-" : (char[]){*c, '\0'}, out);
        }
        if (options->metavar != NULL) {
            fprintf(out, " \\fI%s\\fR", options->metavar);
        }
        fputc('\n', out);
        roff_text(out, options->help);
    }
}

static void roff_command(FILE *out, const cli_command *command) {
    fprintf(out, ".SS \"%s%s%s\"\n", command->name,
            command->args[0] != '\0' ? " " : "", command->args);
    roff_text(out, command->summary);
    fputs(".PP\n", out);
    roff_text(out, command->details);
    roff_options(out, command->options);
}

static void print_man_page(FILE *out) {
    fputs(
        ".\\\" made by 'pannage help --man' from the table of commands\n"
        ".TH PANNAGE 1 \"November 25, 2026\" \"pannage " PN_VERSION
        "\" \"User commands\"\n"
        ".SH NAME\npannage \\- where to go this week for wild food, what will "
        "be up, and why\n"
        ".SH SYNOPSIS\n.B pannage\n[\\fB\\-\\-notebook\\fR \\fIFILE\\fR]\n"
        ".I COMMAND\n[\\fIOPTION\\fR...] [\\fIARGUMENT\\fR...]\n"
        ".SH DESCRIPTION\n"
        "pannage turns a weather record and a notebook of patches and visits "
        "into a\nweek's plan for someone who gathers wild food in Britain. "
        "Results go to\nstandard output, talk and complaints to standard "
        "error.\n.PP\n"
        "It is a planning aid. It never says that a thing is safe to eat: a "
        "competent\nperson on the spot, the law and local codes come first.\n"
        ".SH COMMANDS\n",
        out);
    for (size_t i = 0; i < cli_command_count; i++) {
        roff_command(out, &cli_commands[i]);
    }
    fputs(".SH \"OPTIONS OF EVERY COMMAND\"\n", out);
    roff_options(out, cli_globals);
    fputs(".SH \"EXIT STATUS\"\n"
          ".TP\n.B 0\nDone.\n"
          ".TP\n.B 1\nThe answer is \"no\" or \"nothing\": no row to show, a "
          "notebook that does not verify.\n"
          ".TP\n.B 2\nThe command line is wrong.\n"
          ".TP\n.B 3\nA file or a value is wrong; nothing was changed.\n"
          ".TP\n.B 4\nThe machine refused: disk, memory, permissions.\n"
          ".SH ENVIRONMENT\n"
          ".TP\n.B PANNAGE_NOTEBOOK\nThe notebook, when \\-\\-notebook is not "
          "given.\n"
          ".TP\n.B XDG_DATA_HOME, HOME\nWhere the notebook is looked for "
          "otherwise.\n"
          ".TP\n.B NO_COLOR, TERM, COLUMNS\nColour and width on a terminal.\n"
          ".TP\n.B LC_ALL, LC_CTYPE, LANG\nUTF\\-8 or plain characters on a "
          "terminal.\n"
          ".SH FILES\n"
          ".TP\n.I $XDG_DATA_HOME/pannage/notebook.pannage\nThe notebook: one "
          "SQLite file. Without XDG_DATA_HOME it is under "
          "\\fI~/.local/share\\fR.\n"
          ".SH EXAMPLES\n"
          "A first notebook, from a station's record and two patches:\n.PP\n"
          ".nf\n"
          "pannage notebook init\n"
          "pannage weather import bracknell/*.csv\n"
          "pannage patch add \\-\\-name \"Long Copse\" \\-\\-grid \"SU 852 "
          "664\" \\e\n"
          "    \\-\\-elevation 90 \\-\\-cover broadleaf \\-\\-kinds "
          "penny_bun,beech_nuts\n"
          "pannage outlook \\-\\-date 1991\\-10\\-01\n"
          ".fi\n.PP\n"
          "Write down a visit, and why the forecast says what it says:\n.PP\n"
          ".nf\n"
          "pannage visit add \\-\\-patch \"Long Copse\" \\-\\-date today \\e\n"
          "    \\-\\-find penny_bun:4:620g\n"
          "pannage outlook \\-\\-patch \"Long Copse\" \\-\\-kind penny_bun "
          "\\-\\-explain\n"
          ".fi\n",
          out);
}

int cmd_help(cli_ctx *cli, const cli_args *args) {
    (void)cli;
    if (cli_flag(args, "man")) {
        print_man_page(stdout);
        return CLI_OK;
    }
    if (args->positional_count == 0) {
        cli_print_overview(stdout);
        return CLI_OK;
    }
    int words = 0;
    const cli_command *command =
        cli_find_command(args->positional, args->positional_count, &words);
    if (command != NULL && words == args->positional_count) {
        cli_print_command_help(stdout, command);
        return CLI_OK;
    }
    bool any = false; /* "help weather" shows all of the family */
    for (size_t i = 0; i < cli_command_count; i++) {
        size_t len = strlen(args->positional[0]);
        if (args->positional_count == 1 &&
            strncmp(cli_commands[i].name, args->positional[0], len) == 0 &&
            cli_commands[i].name[len] == ' ') {
            printf("%spannage %s: %s\n", "", cli_commands[i].name,
                   cli_commands[i].summary);
            any = true;
        }
    }
    return any ? CLI_OK
               : cli_fail(CLI_USAGE,
                          "there is no command '%s'; 'pannage help' "
                          "lists them",
                          args->positional[0]);
}

/* ---- completion ------------------------------------------------------- */

static void completion_words(const cli_option *options) {
    for (; options != NULL && options->name != NULL; options++) {
        printf(" --%s", options->name);
    }
}

static void completion_first_words(void) {
    const char *last = "";
    size_t last_len = 0;
    for (size_t i = 0; i < cli_command_count; i++) {
        const char *name = cli_commands[i].name;
        size_t len = strcspn(name, " ");
        if (len != last_len || strncmp(name, last, len) != 0) {
            printf(" %.*s", (int)len, name);
        }
        last = name;
        last_len = len;
    }
}

static void completion_second_words(void) {
    for (size_t i = 0; i < cli_command_count; i++) {
        const char *name = cli_commands[i].name;
        size_t len = strcspn(name, " ");
        if (name[len] == '\0' ||
            (i > 0 && strncmp(cli_commands[i - 1].name, name, len + 1) == 0)) {
            continue;
        }
        printf("    %.*s) words=\"", (int)len, name);
        for (size_t j = i; j < cli_command_count &&
                           strncmp(cli_commands[j].name, name, len + 1) == 0;
             j++) {
            printf("%s%s", j > i ? " " : "", cli_commands[j].name + len + 1);
        }
        printf("\" ;;\n");
    }
}

int cmd_completion(cli_ctx *cli, const cli_args *args) {
    (void)cli;
    if (strcmp(args->positional[0], "bash") != 0) {
        return cli_fail(CLI_USAGE, "only 'bash' is known so far");
    }
    printf("# bash completion of pannage, made by 'pannage completion bash'\n"
           "_pannage() {\n"
           "  local cur=${COMP_WORDS[COMP_CWORD]} words=\"\"\n"
           "  COMPREPLY=()\n"
           "  if [ \"$COMP_CWORD\" -eq 1 ]; then words=\"");
    completion_first_words();
    printf("\"\n"
           "  elif [ \"$COMP_CWORD\" -eq 2 ] && [ \"${cur#-}\" = \"$cur\" ]; "
           "then\n"
           "    case \"${COMP_WORDS[1]}\" in\n");
    completion_second_words();
    printf("    esac\n"
           "  elif [ \"${cur#-}\" != \"$cur\" ]; then\n"
           "    case \"${COMP_WORDS[1]} ${COMP_WORDS[2]}\" in\n");
    for (size_t i = 0; i < cli_command_count; i++) {
        printf("    \"%s\"%s) words=\"", cli_commands[i].name,
               strchr(cli_commands[i].name, ' ') != NULL ? "" : "*");
        completion_words(cli_commands[i].options);
        printf("\" ;;\n");
    }
    printf("    esac\n    words=\"$words");
    completion_words(cli_globals);
    printf("\"\n"
           "  fi\n"
           "  while IFS= read -r word; do COMPREPLY+=(\"$word\"); done < "
           "<(compgen -W \"$words\" -- \"$cur\")\n"
           "}\n"
           "complete -o default -F _pannage pannage\n");
    return CLI_OK;
}
