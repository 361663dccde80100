#include "cli.h"

#include <getopt.h>
#include <string.h>

enum { OPTIONS_MAX = 64 };

static bool same_words(const char *name, char *const *argv, int words) {
    const char *second = strchr(name, ' ');
    if (words == 1) {
        return second == NULL && strcmp(name, argv[0]) == 0;
    }
    size_t first_len = second == NULL ? 0 : (size_t)(second - name);
    return second != NULL && strlen(argv[0]) == first_len &&
           strncmp(name, argv[0], first_len) == 0 &&
           strcmp(second + 1, argv[1]) == 0;
}

const cli_command *cli_find_command(char *const *argv, int argc, int *words) {
    for (*words = argc >= 2 ? 2 : argc; *words > 0; (*words)--) {
        for (size_t i = 0; i < cli_command_count; i++) {
            if (same_words(cli_commands[i].name, argv, *words)) {
                return &cli_commands[i];
            }
        }
    }
    return NULL;
}

static int add_options(const cli_option *from, struct option *to, int count) {
    for (; from != NULL && from->name != NULL && count < OPTIONS_MAX - 1;
         from++) {
        to[count++] = (struct option){
            .name = from->name,
            .has_arg = from->metavar != NULL ? required_argument : no_argument,
            .val = 1,
        };
    }
    return count;
}

static int bad_option(const cli_command *command, const char *word,
                      int missing_value) {
    if (missing_value) {
        return cli_fail(CLI_USAGE, "%s needs a value; see 'pannage help %s'",
                        word, command->name);
    }
    return cli_fail(CLI_USAGE,
                    "'%s' does not know the option %s; 'pannage help %s' lists "
                    "those it takes",
                    command->name, word, command->name);
}

static int check_operands(const cli_command *command, const cli_args *args) {
    if (args->positional_count < command->args_min) {
        return cli_fail(CLI_USAGE, "'%s' needs %s; see 'pannage help %s'",
                        command->name, command->args, command->name);
    }
    if (args->positional_count > command->args_max) {
        return cli_fail(CLI_USAGE,
                        "'%s' does not know what to do with '%s'; see "
                        "'pannage help %s'",
                        command->name, args->positional[command->args_max],
                        command->name);
    }
    return CLI_OK;
}

int cli_parse(const cli_command *command, char **argv, int argc,
              cli_args *args) {
    struct option options[OPTIONS_MAX] = {{0}};
    int count = add_options(command->options, options, 0);
    add_options(cli_globals, options, count);
    *args = (cli_args){.command = command};
    opterr = 0;
    optind = 1; /* argv[0] is the last word of the command's name */
    int index = 0;
    for (int got = 0;
         (got = getopt_long(argc, argv, ":", options, &index)) != -1;) {
        if (got != 1) {
            return bad_option(command, argv[optind - 1], got == ':');
        }
        if (args->given_count == CLI_VALUES_MAX) {
            return cli_fail(CLI_USAGE, "more than %d options", CLI_VALUES_MAX);
        }
        args->given[args->given_count].name = options[index].name;
        args->given[args->given_count++].value = optarg;
    }
    args->positional = argv + optind;
    args->positional_count = argc - optind;
    return cli_flag(args, "help") ? CLI_OK : check_operands(command, args);
}

const char *cli_value(const cli_args *args, const char *name) {
    const char *value = NULL;
    for (int at = 0;;) {
        const char *next = cli_each(args, name, &at);
        if (next == NULL) {
            return value;
        }
        value = next;
    }
}

bool cli_flag(const cli_args *args, const char *name) {
    for (int i = 0; i < args->given_count; i++) {
        if (strcmp(args->given[i].name, name) == 0) {
            return true;
        }
    }
    return false;
}

pn_text cli_text_value(const cli_args *args, const char *name,
                       const char *otherwise) {
    const char *value = cli_value(args, name);
    return pn_text_of(value != NULL ? value : otherwise);
}

const char *cli_each(const cli_args *args, const char *name, int *at) {
    while (*at < args->given_count) {
        int i = (*at)++;
        if (strcmp(args->given[i].name, name) == 0) {
            return args->given[i].value;
        }
    }
    return NULL;
}

int cli_need_a_change(const cli_args *args) {
    const cli_option *option = args->command->options;
    for (; option->name != NULL; option++) {
        if (cli_flag(args, option->name)) {
            return CLI_OK;
        }
    }
    return cli_fail(CLI_USAGE,
                    "nothing to correct; 'pannage help %s' tells what can be",
                    args->command->name);
}

bool cli_parse_date(const cli_ctx *cli, const char *text, int32_t *out) {
    static const struct {
        const char *word;
        int32_t days;
    } words[] = {{"today", 0}, {"yesterday", -1}, {"tomorrow", 1}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strcmp(text, words[i].word) == 0) {
            *out = cli->today_epoch_day + words[i].days;
            return true;
        }
    }
    return pn_date_parse_iso(pn_text_of(text), out);
}

int cli_date_value(const cli_ctx *cli, const cli_args *args, const char *name,
                   int32_t *out) {
    const char *text = cli_value(args, name);
    if (text == NULL || cli_parse_date(cli, text, out)) {
        return CLI_OK;
    }
    return cli_fail(CLI_USAGE,
                    "--%s: '%s' is not a date; write it as 2026-09-14, or "
                    "today, yesterday, tomorrow",
                    name, text);
}

int cli_double_value(const cli_args *args, const char *name, double low,
                     double high, double *out) {
    const char *text = cli_value(args, name);
    if (text == NULL) {
        return CLI_OK;
    }
    double value = 0.0;
    if (!pn_text_to_double(pn_text_of(text), &value) || value < low ||
        value > high) {
        return cli_fail(CLI_USAGE, "--%s: '%s' is not a number from %g to %g",
                        name, text, low, high);
    }
    *out = value;
    return CLI_OK;
}

int cli_int_value(const cli_args *args, const char *name, int64_t low,
                  int64_t high, int64_t *out) {
    const char *text = cli_value(args, name);
    if (text == NULL) {
        return CLI_OK;
    }
    int64_t value = 0;
    if (!pn_text_to_int(pn_text_of(text), &value) || value < low ||
        value > high) {
        return cli_fail(CLI_USAGE,
                        "--%s: '%s' is not a whole number from %lld to %lld",
                        name, text, (long long)low, (long long)high);
    }
    *out = value;
    return CLI_OK;
}
