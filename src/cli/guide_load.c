/* Where the guide comes from: the shipped one, or a folder of sheets. A file
 * that cannot be read whole stops it: a danger might stand in it. */
#include "cli.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>

enum { SHEETS_MAX = 2000 };
static const cli_read_limit sheet_limit = {
    1 << 20, "more than 1048576 bytes; a sheet is a page or two"};

typedef struct folder_reader {
    const cli_ctx *cli;
    pn_sheets_file *files;
    size_t count;
} folder_reader;

static pn_status read_file(const folder_reader *r, const char *path,
                           pn_sheets_file *out, pn_error *err) {
    pn_buffer buffer;
    pn_status status = cli_read_file(r->cli, path, &sheet_limit, &buffer, err);
    const char *text = NULL;
    if (status == PN_OK) {
        text =
            pn_arena_copy(r->cli->arena, pn_buffer_text(&buffer), buffer.len);
        *out = (pn_sheets_file){.name = path, .text = {text, buffer.len}};
        status =
            text != NULL ? PN_OK : pn_fail(err, PN_ENOMEM, "out of memory");
    }
    pn_buffer_deinit(&buffer);
    return status;
}

static bool is_sheet(const char *name) {
    static const char ending[] = ".yaml";
    size_t len = strlen(name);
    return len >= sizeof ending && name[0] != '.' &&
           strcmp(name + len - (sizeof ending - 1), ending) == 0;
}

static pn_status take_entry(folder_reader *r, const char *path,
                            const char *name, pn_error *err) {
    if (!is_sheet(name)) {
        return PN_OK;
    }
    if (r->count == SHEETS_MAX) {
        return pn_fail(err, PN_EDOMAIN, "%s: more than %d sheets", path,
                       SHEETS_MAX);
    }
    return read_file(r, cli_textf(r->cli, "%s/%s", path, name),
                     &r->files[r->count++], err);
}

static pn_status read_entries(folder_reader *r, const char *path,
                              pn_error *err) {
    DIR *dir = opendir(path);
    pn_status status = PN_OK;
    if (dir == NULL) {
        return pn_fail(err, PN_ENOTFOUND,
                       "%s: %s; a guide is a folder with features.yaml and "
                       "sheets/",
                       path, strerror(errno));
    }
    errno = 0;
    for (struct dirent *entry = NULL;
         status == PN_OK && (entry = readdir(dir)) != NULL;) {
        status = take_entry(r, path, entry->d_name, err);
        errno = 0;
    }
    if (status == PN_OK && errno != 0) {
        status = pn_fail(err, PN_EIO, "%s: %s", path, strerror(errno));
    }
    closedir(dir);
    return status;
}

static int by_name(const void *a, const void *b) {
    const pn_sheets_file *x = a;
    const pn_sheets_file *y = b;
    return strcmp(x->name, y->name);
}

static pn_status read_folder(const cli_ctx *cli, const char *folder,
                             cli_guide_files *out, pn_error *err) {
    folder_reader r = {.cli = cli};
    r.files = pn_arena_array(cli->arena, SHEETS_MAX, sizeof *r.files);
    if (r.files == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    pn_status status = read_file(&r, cli_textf(cli, "%s/features.yaml", folder),
                                 &out->features, err);
    if (status == PN_OK) {
        status = read_entries(&r, cli_textf(cli, "%s/sheets", folder), err);
    }
    if (status == PN_OK && r.count > 0) {
        qsort(r.files, r.count, sizeof *r.files, by_name);
    }
    out->sheets = r.files;
    out->sheet_count = r.count;
    return status;
}

int cli_read_guide(const cli_ctx *cli, const cli_args *args,
                   cli_guide_files *out) {
    const char *folder = cli_value(args, "guide");
    pn_error err = {0};
    if (folder != NULL) {
        return read_folder(cli, folder, out, &err) == PN_OK
                   ? CLI_OK
                   : cli_fail_error(&err);
    }
    out->features = *pn_sheets_embedded_features();
    out->sheets = pn_sheets_embedded(&out->sheet_count);
    return CLI_OK;
}

int cli_load_guide(const cli_ctx *cli, const cli_args *args, pn_sheets **out) {
    cli_guide_files files = {.sheet_count = 0};
    pn_error err = {0};
    int code = cli_read_guide(cli, args, &files);
    if (code != CLI_OK) {
        return code;
    }
    return pn_sheets_read(&cli->alloc, &files.features, files.sheets,
                          files.sheet_count, out, &err) == PN_OK
               ? CLI_OK
               : cli_fail_error(&err);
}
