#include "cli.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdarg.h>
#include <string.h>
#include <unistd.h>

#include "pannage/exchange.h"

/* A complaint quotes names and files as they came: no sign in them may move
 * the terminal's cursor or begin another line. */
static void blank_control_signs(char *text) {
    for (; *text != '\0'; text++) {
        unsigned char sign = (unsigned char)*text;
        if (sign < 0x20U || sign == 0x7fU) {
            *text = '?';
        }
    }
}

int cli_fail(int code, const char *fmt, ...) {
    char message[2048];
    va_list args;
    va_start(args, fmt);
    if (vsnprintf(message, sizeof message, fmt, args) < 0) {
        message[0] = '\0';
    }
    va_end(args);
    blank_control_signs(message);
    fprintf(stderr, "pannage: %s\n", message);
    return code;
}

int cli_fail_error(const pn_error *err) {
    switch (err->status) {
    case PN_ENOTFOUND:
    case PN_EEXISTS:
    case PN_EDOMAIN:
    case PN_EPARSE:
        return cli_fail(CLI_INPUT, "%s", err->message);
    case PN_OK:
    case PN_ENOMEM:
    case PN_EIO:
    case PN_ENOCONV:
    case PN_STATUS_COUNT:
    default:
        return cli_fail(CLI_SYSTEM, "%s", err->message);
    }
}

void cli_say(const cli_ctx *cli, const char *fmt, ...) {
    if (cli->quiet) {
        return;
    }
    char message[2048];
    va_list args;
    va_start(args, fmt);
    if (vsnprintf(message, sizeof message, fmt, args) < 0) {
        message[0] = '\0';
    }
    va_end(args);
    blank_control_signs(message);
    fprintf(stderr, "%s\n", message);
}

static int check_stdout(void) {
    if (fflush(stdout) != 0 || ferror(stdout)) {
        return cli_fail(CLI_SYSTEM, "could not write the output: %s",
                        strerror(errno));
    }
    return CLI_OK;
}

int cli_print_json(const cli_ctx *cli, json_t *document) {
    (void)cli;
    if (document == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    int failed =
        json_dumpf(document, stdout, JSON_INDENT(1) | JSON_REAL_PRECISION(15));
    json_decref(document);
    fputc('\n', stdout);
    return failed != 0 ? cli_fail(CLI_SYSTEM, "could not write the output")
                       : check_stdout();
}

int cli_print_buffer(pn_buffer *buffer) {
    pn_error err = {0};
    int code = CLI_OK;
    if (pn_buffer_status(buffer, &err) != PN_OK) {
        code = cli_fail_error(&err);
    } else {
        fwrite(pn_buffer_text(buffer), 1, buffer->len, stdout);
        code = check_stdout();
    }
    pn_buffer_deinit(buffer);
    return code;
}

int cli_print_table(const cli_ctx *cli, const pn_paper_column *columns,
                    size_t column_count, const char *const *cells,
                    size_t row_count) {
    pn_buffer buffer;
    pn_error err = {0};
    pn_buffer_init(&buffer, &cli->alloc);
    const pn_paper_table_opts opts = {
        .columns = columns,
        .column_count = column_count,
        .cells = cells,
        .row_count = row_count,
        .width = (size_t)cli->columns,
        .wrap = true,
        .ascii = cli->ascii,
        .bold_header = cli->colour,
    };
    if (pn_paper_table(&opts, &buffer, &err) != PN_OK) {
        pn_buffer_deinit(&buffer);
        return cli_fail_error(&err);
    }
    return cli_print_buffer(&buffer);
}

static int write_all(int fd, const char *text, size_t text_len) {
    while (text_len > 0) {
        ssize_t wrote = write(fd, text, text_len);
        if (wrote < 0 && errno == EINTR) {
            continue;
        }
        if (wrote <= 0) {
            return -1;
        }
        text += wrote;
        text_len -= (size_t)wrote;
    }
    return fsync(fd);
}

pn_status cli_read_file(const cli_ctx *cli, const char *path,
                        const cli_read_limit *limit, pn_buffer *out,
                        pn_error *err) {
    char chunk[1 << 14];
    pn_exchange_source source = {0};
    ptrdiff_t got = 0;
    pn_buffer_init(out, &cli->alloc);
    pn_status status = pn_exchange_open_file(path, &source, err);
    while (status == PN_OK &&
           (got = source.read(source.ctx, chunk, sizeof chunk)) > 0) {
        pn_buffer_add(out, (pn_text){chunk, (size_t)got});
        if (out->len > limit->bytes) {
            status = pn_fail(err, PN_EPARSE, "%s: %s", path, limit->complaint);
        }
    }
    if (status == PN_OK && got < 0) {
        status = pn_fail(err, PN_EIO, "%s: %s", path, strerror(errno));
    }
    pn_exchange_close_file(&source);
    return status == PN_OK ? pn_buffer_status(out, err) : status;
}

int cli_write_file(const cli_ctx *cli, const char *path, const char *text,
                   size_t text_len) {
    const char *beside = cli_textf(cli, "%s.part-%ld", path, (long)getpid());
    int fd = open(beside, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0644);
    if (fd < 0) {
        return cli_fail(CLI_SYSTEM, "%s: %s", path, strerror(errno));
    }
    int failed = write_all(fd, text, text_len);
    failed |= close(fd);
    if (failed == 0) {
        failed = rename(beside, path);
    }
    if (failed != 0) {
        int why = errno;
        unlink(beside);
        return cli_fail(CLI_SYSTEM, "%s: %s; nothing was written", path,
                        strerror(why));
    }
    return CLI_OK;
}

const char *cli_textf(const cli_ctx *cli, const char *fmt, ...) {
    char buf[2048];
    va_list args;
    va_start(args, fmt);
    int len = vsnprintf(buf, sizeof buf, fmt, args);
    va_end(args);
    if (len < 0) {
        return "";
    }
    size_t kept = (size_t)len < sizeof buf ? (size_t)len : sizeof buf - 1;
    const char *copy = pn_arena_copy(cli->arena, buf, kept);
    return copy != NULL ? copy : "";
}

const char *cli_plain(const cli_ctx *cli, const char *text) {
    static const struct {
        const char *sign, *plain;
    } signs[] = {
        {"–", "-"}, {" °", " deg "}, {"°", " deg "}, {"²", "2"}, {"±", "+-"}};
    char buf[2048];
    pn_str str = pn_str_in(buf, sizeof buf);
    if (!cli->ascii) {
        return text;
    }
    while (*text != '\0') {
        size_t known = 0;
        for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
            size_t len = strlen(signs[i].sign);
            if (known == 0 && strncmp(text, signs[i].sign, len) == 0) {
                pn_str_addf(&str, "%s", signs[i].plain);
                known = len;
            }
        }
        if (known == 0) {
            bool plain = (unsigned char)*text < 0x80U;
            pn_str_addf(&str, "%c", plain ? *text : '?');
            known = 1;
        }
        text += known;
    }
    return cli_textf(cli, "%s", buf);
}

void cli_progress(void *ctx, const char *what, size_t done, size_t total) {
    const cli_ctx *cli = ctx;
    if (!cli->show_progress || total == 0) {
        return;
    }
    fprintf(stderr, "\r%s: %3zu %%", what, done * 100 / total);
    if (done >= total) {
        fputs("\r\033[K", stderr);
    }
    fflush(stderr);
}

json_t *cli_json_number(double value, int decimals) {
    if (!isfinite(value)) {
        return json_null();
    }
    double scale = pow(10.0, decimals);
    return json_real(round(value * scale) / scale);
}

json_t *cli_json_date(int32_t epoch_day) {
    char iso[PN_DATE_ISO_SIZE];
    return json_string(pn_date_iso(epoch_day, iso));
}

json_t *cli_json_text(pn_text text) {
    return json_stringn(text.len > 0 ? text.at : "", text.len);
}

const char *cli_cell_text(const cli_ctx *cli, pn_text text) {
    return cli_textf(cli, "%.*s", (int)text.len, text.len > 0 ? text.at : "");
}

enum { USUAL_WIDTH = 88 };

void cli_print_paragraph(const cli_ctx *cli, size_t indent, const char *text) {
    static const pn_paper_column column[] = {{"", PN_PAPER_LEFT}};
    pn_buffer buffer;
    pn_buffer_init(&buffer, &cli->alloc);
    const pn_paper_table_opts opts = {
        .columns = column,
        .column_count = 1,
        .cells = &text,
        .row_count = 1,
        .width = cli->columns > 0 ? (size_t)cli->columns : USUAL_WIDTH,
        .indent = indent,
        .wrap = true,
        .ascii = cli->ascii,
        .no_header = true};
    if (pn_paper_table(&opts, &buffer, NULL) == PN_OK) {
        fputs(pn_buffer_text(&buffer), stdout);
    }
    pn_buffer_deinit(&buffer);
}
