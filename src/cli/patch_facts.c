/* What adding, importing and correcting a patch have in common. */
#include "cli.h"

#include <math.h>
#include <string.h>

pn_text cli_next_word(pn_text *rest) {
    while (rest->at != NULL && rest->len > 0) {
        size_t len = 0;
        while (len < rest->len && strchr(",;", rest->at[len]) == NULL) {
            len++;
        }
        pn_text word = pn_text_trim((pn_text){rest->at, len});
        size_t used = len < rest->len ? len + 1 : len;
        *rest = (pn_text){rest->at + used, rest->len - used};
        if (word.len > 0) {
            return word;
        }
    }
    return (pn_text){NULL, 0};
}

pn_status cli_kind_of(pn_text word, const pn_kind **out, pn_error *err) {
    *out = pn_kind_find(word);
    return *out != NULL
               ? PN_OK
               : pn_fail(err, PN_EDOMAIN,
                         "kinds: there is no kind '%.*s'; 'pannage kinds' "
                         "lists them",
                         (int)word.len, word.at);
}

pn_status cli_add_kinds(const cli_ctx *cli, pn_notebook *notebook,
                        pn_text kinds, int64_t patch, pn_error *err) {
    pn_status status = PN_OK;
    for (pn_text word = cli_next_word(&kinds); status == PN_OK && word.len > 0;
         word = cli_next_word(&kinds)) {
        const pn_kind *kind = NULL;
        status = cli_kind_of(word, &kind, err);
        if (status == PN_OK) {
            pn_patch_kind one = {.patch = patch,
                                 .kind = pn_text_of(kind->id),
                                 .productivity = NAN};
            status = pn_notebook_add_patch_kind(notebook, &one, cli->now_unix_s,
                                                NULL, err);
        }
    }
    return status;
}

pn_status cli_check_ground(const pn_patch *patch, pn_error *err) {
    pn_soil_texture texture;
    pn_soil_cover cover;
    if (patch->texture.len > 0 &&
        !pn_soil_texture_find(patch->texture, &texture)) {
        return pn_fail(err, PN_EDOMAIN,
                       "texture: '%.*s' is none; use sand, loamy_sand, "
                       "sandy_loam, loam, silt_loam, clay_loam, clay, peat or "
                       "chalk",
                       (int)patch->texture.len, patch->texture.at);
    }
    if (patch->cover.len > 0 && !pn_soil_cover_find(patch->cover, &cover)) {
        return pn_fail(err, PN_EDOMAIN,
                       "cover: '%.*s' is none; use open, broadleaf, conifer or "
                       "edge",
                       (int)patch->cover.len, patch->cover.at);
    }
    return PN_OK;
}

/* Patches are called by name, upper or lower case: two of one name could not
 * be told apart. */
pn_status cli_check_patch_name(const cli_ctx *cli, pn_notebook *notebook,
                               const pn_patch *patch, pn_error *err) {
    pn_patch_list list = {0};
    pn_status status = cli_check_name(cli, patch->name, "patch", err);
    if (status == PN_OK) {
        status =
            pn_notebook_list_patches(notebook, NULL, cli->arena, &list, err);
    }
    for (size_t i = 0; status == PN_OK && i < list.count; i++) {
        const pn_patch *other = &list.at[i];
        if (other->fact.id != patch->fact.id &&
            pn_text_equal_nocase(other->name, patch->name)) {
            return pn_fail(err, PN_EEXISTS,
                           "there is already a patch \"%.*s\" (%lld)",
                           (int)other->name.len, other->name.at,
                           (long long)other->fact.id);
        }
    }
    return status;
}
