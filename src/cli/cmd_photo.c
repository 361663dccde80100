/* Photos of finds and of sessions: in, listed, and out again. */
#include "cli.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>

#include "pannage/exchange.h"

/* ---- reading ------------------------------------------------------------ */

static pn_status read_whole(const cli_ctx *cli, const char *path, size_t size,
                            pn_text *out, pn_error *err) {
    pn_exchange_source source = {0};
    char *bytes = pn_arena_array(cli->arena, size + 1, 1);
    size_t len = 0;
    if (bytes == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    pn_status status = pn_exchange_open_file(path, &source, err);
    while (status == PN_OK && len < size) {
        ptrdiff_t got = source.read(source.ctx, bytes + len, size - len);
        if (got <= 0) {
            status = pn_fail(err, PN_EIO, "%s: cannot be read", path);
            break;
        }
        len += (size_t)got;
    }
    pn_exchange_close_file(&source);
    *out = (pn_text){bytes, len};
    return status;
}

int cli_read_photo(const cli_ctx *cli, const char *path, pn_photo *out) {
    struct stat info = {0};
    pn_error err = {0};
    const char *slash = strrchr(path, '/');
    out->file_name = pn_text_of(slash != NULL ? slash + 1 : path);
    if (stat(path, &info) != 0) {
        return cli_fail(CLI_INPUT, "%s: %s", path, strerror(errno));
    }
    if (!S_ISREG(info.st_mode)) {
        return cli_fail(CLI_INPUT, "%s: is not a plain file", path);
    }
    if (info.st_size > PN_PHOTO_BYTES_MAX) {
        return cli_fail(CLI_INPUT,
                        "%s: has %lld bytes; at most %d (16 MiB) are kept: "
                        "make it smaller first",
                        path, (long long)info.st_size, PN_PHOTO_BYTES_MAX);
    }
    if (cli_check_name(cli, out->file_name, "photo", &err) != PN_OK ||
        read_whole(cli, path, (size_t)info.st_size, &out->bytes, &err) !=
            PN_OK) {
        return cli_fail_error(&err);
    }
    return pn_photo_media_type(out->bytes) != NULL
               ? CLI_OK
               : cli_fail(CLI_INPUT,
                          "%s: is neither JPEG, PNG nor WebP by its first "
                          "bytes",
                          path);
}

int cli_find_number(const cli_args *args, pn_notebook *notebook,
                    const cli_ctx *cli, int64_t *out) {
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    pn_find_list list = {0};
    pn_error err = {0};
    int code = cli_int_value(args, "find", 1, INT64_MAX, &by.fact);
    if (code != CLI_OK || by.fact == 0) {
        return code;
    }
    if (pn_notebook_list_finds(notebook, &by, cli->arena, &list, &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    *out = by.fact;
    return list.count > 0
               ? CLI_OK
               : cli_fail(CLI_INPUT,
                          "there is no find %lld; 'pannage visit list --json' "
                          "and 'pannage visit history' show their numbers",
                          (long long)by.fact);
}

/* ---- adding ------------------------------------------------------------- */

static pn_status add_all(const cli_ctx *cli, pn_notebook *notebook,
                         const pn_photo *photos, size_t count, pn_error *err) {
    pn_status status = pn_notebook_begin(notebook, err);
    for (size_t i = 0; status == PN_OK && i < count; i++) {
        status = pn_notebook_add_photo(notebook, &photos[i], cli->now_unix_s,
                                       NULL, err);
    }
    return status == PN_OK ? pn_notebook_commit(notebook, err) : status;
}

int cmd_photo_add(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_error err = {0};
    pn_photo of = {.note = cli_text_value(args, "note", "")};
    size_t count = (size_t)args->positional_count;
    pn_photo *photos = pn_arena_array(cli->arena, count, sizeof *photos);
    if (photos == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    int code = cli_int_value(args, "check", 1, INT64_MAX, &of.check);
    if (code == CLI_OK && of.check == 0 && cli_value(args, "find") == NULL) {
        code = cli_fail(CLI_USAGE, "of what? give --find or --check");
    }
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    }
    if (code == CLI_OK) {
        code = cli_find_number(args, notebook, cli, &of.find);
    }
    for (size_t i = 0; code == CLI_OK && i < count; i++) {
        photos[i] = of;
        code = cli_read_photo(cli, args->positional[i], &photos[i]);
    }
    if (code == CLI_OK) {
        code = add_all(cli, notebook, photos, count, &err) == PN_OK
                   ? CLI_OK
                   : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    if (code != CLI_OK) {
        return code;
    }
    if (cli->json) {
        return cli_print_json(
            cli, json_pack("{s:I}", "photos_added", (json_int_t)count));
    }
    printf("%zu photo%s kept.\n", count, count == 1 ? "" : "s");
    return CLI_OK;
}

/* ---- listing ------------------------------------------------------------ */

static json_t *photo_json(const pn_photo *photo) {
    char hex[PN_SHA256_HEX_SIZE];
    return json_pack(
        "{s:I, s:o, s:o, s:o, s:o, s:I, s:s, s:o}", "photo",
        (json_int_t)photo->fact.id, "find",
        photo->find != 0 ? json_integer(photo->find) : json_null(), "check",
        photo->check != 0 ? json_integer(photo->check) : json_null(),
        "file_name", cli_json_text(photo->file_name), "media_type",
        cli_json_text(photo->media_type), "bytes",
        (json_int_t)photo->size_bytes, "sha256",
        pn_sha256_hex(photo->sha256, hex), "note", cli_json_text(photo->note));
}

static int photos_json(const cli_ctx *cli, const pn_photo_list *photos) {
    json_t *list = json_array();
    for (size_t i = 0; i < photos->count; i++) {
        json_array_append_new(list, photo_json(&photos->at[i]));
    }
    return cli_print_json(cli, json_pack("{s:o}", "photos", list));
}

static const char *number_or_nothing(const cli_ctx *cli, int64_t number) {
    return number != 0 ? cli_textf(cli, "%lld", (long long)number) : "";
}

static int print_photos(const cli_ctx *cli, const pn_photo_list *photos) {
    static const pn_paper_column columns[] = {
        {"no.", PN_PAPER_RIGHT},     {"find", PN_PAPER_RIGHT},
        {"session", PN_PAPER_RIGHT}, {"file", PN_PAPER_LEFT},
        {"sort", PN_PAPER_LEFT},     {"KiB", PN_PAPER_RIGHT},
        {"note", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    const char **cells =
        pn_arena_array(cli->arena, photos->count * COLUMNS, sizeof *cells);
    if (cells == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t i = 0; i < photos->count; i++) {
        const pn_photo *p = &photos->at[i];
        const char **row = &cells[i * COLUMNS];
        row[0] = cli_textf(cli, "%lld", (long long)p->fact.id);
        row[1] = number_or_nothing(cli, p->find);
        row[2] = number_or_nothing(cli, p->check);
        row[3] = cli_cell_text(cli, p->file_name);
        row[4] = cli_cell_text(cli, p->media_type);
        row[5] = cli_textf(cli, "%zu", (p->size_bytes + 1023) / 1024);
        row[6] = cli_cell_text(cli, p->note);
    }
    return cli_print_table(cli, columns, COLUMNS, cells, photos->count);
}

int cmd_photo_list(cli_ctx *cli, const cli_args *args) {
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    pn_photo_list photos = {0};
    pn_notebook *notebook = NULL;
    pn_error err = {0};
    int code = cli_int_value(args, "find", 1, INT64_MAX, &by.find);
    if (code == CLI_OK) {
        code = cli_int_value(args, "check", 1, INT64_MAX, &by.check);
    }
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    }
    if (code == CLI_OK) {
        code = pn_notebook_list_photos(notebook, &by, cli->arena, &photos,
                                       &err) == PN_OK
                   ? CLI_OK
                   : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    if (code != CLI_OK || cli->json) {
        return code != CLI_OK ? code : photos_json(cli, &photos);
    }
    if (photos.count == 0) {
        cli_say(cli, "No such photo.");
        return CLI_NO;
    }
    return print_photos(cli, &photos);
}

/* ---- out again ---------------------------------------------------------- */

int cmd_photo_save(cli_ctx *cli, const cli_args *args) {
    const char *path = args->positional[1];
    struct stat info = {0};
    int64_t id = 0;
    pn_text bytes = {NULL, 0};
    pn_notebook *notebook = NULL;
    pn_error err = {0};
    int code = cli_fact_number(args, 0, "photo", &id);
    if (code == CLI_OK && lstat(path, &info) == 0) {
        code = cli_fail(CLI_INPUT, "%s is already there; choose another name",
                        path);
    }
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    }
    if (code == CLI_OK) {
        code = pn_notebook_load_photo(notebook, id, cli->arena, &bytes, &err) ==
                       PN_OK
                   ? CLI_OK
                   : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    if (code == CLI_OK) {
        code = cli_write_file(cli, path, bytes.at, bytes.len);
    }
    if (code != CLI_OK) {
        return code;
    }
    if (cli->json) {
        return cli_print_json(cli, json_pack("{s:I, s:s, s:I}", "photo",
                                             (json_int_t)id, "file", path,
                                             "bytes", (json_int_t)bytes.len));
    }
    printf("Photo %lld is in %s, as the camera wrote it: the place may be "
           "inside.\n",
           (long long)id, path);
    return CLI_OK;
}
