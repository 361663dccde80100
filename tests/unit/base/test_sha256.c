#include "support/check.h"

#include <stdlib.h>
#include <string.h>

#include "pannage/base.h"

static void digest_of(const void *bytes, size_t len, size_t piece,
                      char hex[PN_SHA256_HEX_SIZE]) {
    unsigned char out[PN_SHA256_BYTES];
    pn_sha256 digest = pn_sha256_begin();
    const char *at = bytes;
    while (len > 0) {
        size_t take = len < piece ? len : piece;
        pn_sha256_add(&digest, at, take);
        at += take;
        len -= take;
    }
    pn_sha256_end(&digest, out);
    pn_sha256_hex(out, hex);
}

/* Wanted: what sha256sum of GNU coreutils 9.1 printed for the same bytes. */
static const struct {
    const char *name;
    const char *text;
    const char *want;
} texts[] = {
    {"nothing", "",
     "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
    {"three letters", "abc",
     "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
    {"two blocks, the example of the standard",
     "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
     "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
    {"UTF-8",
     "pannage \xe2\x80\x93 l\xe2\x80\x99"
     "automne",
     "982c141b84a06fda924b44173b2aad75164c20359919bd31f3e4b50c73ce07a8"},
};

static const struct {
    size_t count; /* of letters a */
    const char *want;
} runs[] = {
    {1, "ca978112ca1bbdcafac231b39a23dc4da786eff8147c4e72b9807785afee48bb"},
    {55, "9f4390f8d30c2dd92ec9f095b65e2b9ae9b0a925a5258e241c9f1e910f734318"},
    {56, "b35439a4ac6f0948b6d6f9e3c6af0f5f590ce20f1bde7090ef7970686ec6738a"},
    {57, "f13b2d724659eb3bf47f2dd6af1accc87b81f09f59f2b75e5c0bed6589dfe8c6"},
    {63, "7d3e74a05d7db15bce4ad9ec0658ea98e3f06eeecf16b4c6fff2da457ddc2f34"},
    {64, "ffe054fe7ae0cb6dc65c3af9b61d5209f439851db43d0ba5997337df154668eb"},
    {65, "635361c48bb9eab14198e76ea8ab7f1a41685d6ad62aa9146d301d4f17eb0ae0"},
    {119, "31eba51c313a5c08226adf18d4a359cfdfd8d2e816b13f4af952f7ea6584dcfb"},
    {120, "2f3d335432c70b580af0e8e1b3674a7c020d683aa5f73aaaedfdc55af904c21c"},
    {128, "6836cf13bac400e9105071cd6af47084dfacad4e5e302c94bfed24e013afb73e"},
    {1000000,
     "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"},
};

static void agrees_with_another_program(void **state) {
    char hex[PN_SHA256_HEX_SIZE];
    (void)state;
    for (size_t i = 0; i < COUNT_OF(texts); i++) {
        digest_of(texts[i].text, strlen(texts[i].text), 1000, hex);
        if (strcmp(hex, texts[i].want) != 0) {
            fail_msg("%s: %s", texts[i].name, hex);
        }
    }
}

/* Around the ends of a block, where the padding changes its shape. */
static void every_length_is_padded_right(void **state) {
    char hex[PN_SHA256_HEX_SIZE];
    (void)state;
    for (size_t i = 0; i < COUNT_OF(runs); i++) {
        char *run = malloc(runs[i].count);
        assert_non_null(run);
        memset(run, 'a', runs[i].count);
        digest_of(run, runs[i].count, SIZE_MAX, hex);
        if (strcmp(hex, runs[i].want) != 0) {
            fail_msg("%zu letters: %s", runs[i].count, hex);
        }
        free(run);
    }
}

static void pieces_do_not_matter(void **state) {
    char whole[PN_SHA256_HEX_SIZE];
    char parts[PN_SHA256_HEX_SIZE];
    unsigned char bytes[1000];
    pn_random random = pn_random_seeded(3);
    (void)state;
    for (size_t i = 0; i < sizeof bytes; i++) {
        bytes[i] = (unsigned char)pn_random_u64(&random);
    }
    digest_of(bytes, sizeof bytes, sizeof bytes, whole);
    for (size_t piece = 1; piece < 200; piece++) {
        digest_of(bytes, sizeof bytes, piece, parts);
        assert_string_equal(whole, parts);
    }
    bytes[500] ^= 1;
    digest_of(bytes, sizeof bytes, sizeof bytes, parts);
    assert_string_not_equal(whole, parts);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_another_program),
        cmocka_unit_test(every_length_is_padded_right),
        cmocka_unit_test(pieces_do_not_matter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
