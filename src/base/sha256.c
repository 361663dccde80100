/* SHA-256, [FIPS180-4]; the letters are those of the standard. */
#include "pannage/base.h"

#include <string.h>

/* section 4.2.2: first 32 bits of the fractional parts of the cube roots of
 * the first 64 primes */
static const uint32_t k[64] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1,
    0x923f82a4, 0xab1c5ed5, 0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3,
    0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174, 0xe49b69c1, 0xefbe4786,
    0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147,
    0x06ca6351, 0x14292967, 0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13,
    0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85, 0xa2bfe8a1, 0xa81a664b,
    0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a,
    0x5b9cca4f, 0x682e6ff3, 0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208,
    0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

static uint32_t rotr(uint32_t x, unsigned n) {
    return x >> n | x << (32 - n);
}

static void schedule(const unsigned char block[64], uint32_t w[64]) {
    for (int t = 0; t < 16; t++) {
        const unsigned char *at = block + 4 * (size_t)t;
        w[t] = (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 |
               (uint32_t)at[2] << 8 | at[3];
    }
    for (int t = 16; t < 64; t++) {
        uint32_t s0 =
            rotr(w[t - 15], 7) ^ rotr(w[t - 15], 18) ^ (w[t - 15] >> 3);
        uint32_t s1 =
            rotr(w[t - 2], 17) ^ rotr(w[t - 2], 19) ^ (w[t - 2] >> 10);
        w[t] = s1 + w[t - 7] + s0 + w[t - 16];
    }
}

/* section 6.2.2; v holds a to h */
static void take_block(uint32_t hash[8], const unsigned char block[64]) {
    uint32_t w[64];
    uint32_t v[8];
    schedule(block, w);
    memcpy(v, hash, sizeof v);
    for (int t = 0; t < 64; t++) {
        uint32_t s1 = rotr(v[4], 6) ^ rotr(v[4], 11) ^ rotr(v[4], 25);
        uint32_t ch = (v[4] & v[5]) ^ (~v[4] & v[6]);
        uint32_t t1 = v[7] + s1 + ch + k[t] + w[t];
        uint32_t s0 = rotr(v[0], 2) ^ rotr(v[0], 13) ^ rotr(v[0], 22);
        uint32_t maj = (v[0] & v[1]) ^ (v[0] & v[2]) ^ (v[1] & v[2]);
        memmove(v + 1, v, 7 * sizeof *v);
        v[4] += t1;
        v[0] = t1 + s0 + maj;
    }
    for (int i = 0; i < 8; i++) {
        hash[i] += v[i];
    }
}

pn_sha256 pn_sha256_begin(void) {
    return (pn_sha256){.h = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                             0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19}};
}

void pn_sha256_add(pn_sha256 *digest, const void *bytes, size_t len) {
    const unsigned char *at = bytes;
    while (len > 0) {
        size_t used = (size_t)(digest->len % sizeof digest->block);
        size_t room = sizeof digest->block - used;
        size_t take = len < room ? len : room;
        memcpy(digest->block + used, at, take);
        digest->len += take;
        at += take;
        len -= take;
        if (take == room) {
            take_block(digest->h, digest->block);
        }
    }
}

/* section 5.1.1: a one bit, zeros, and the length in bits */
void pn_sha256_end(pn_sha256 *digest, unsigned char out[PN_SHA256_BYTES]) {
    static const unsigned char padding[64] = {0x80};
    unsigned char bits[8];
    uint64_t len_bits = digest->len * 8;
    size_t used = (size_t)(digest->len % sizeof digest->block);
    for (int i = 0; i < 8; i++) {
        bits[i] = (unsigned char)(len_bits >> (56 - 8 * i));
    }
    pn_sha256_add(digest, padding, used < 56 ? 56 - used : 120 - used);
    pn_sha256_add(digest, bits, sizeof bits);
    for (size_t i = 0; i < PN_SHA256_BYTES; i++) {
        out[i] = (unsigned char)(digest->h[i / 4] >> (24 - 8 * (i % 4)));
    }
}

char *pn_sha256_hex(const unsigned char sha256[PN_SHA256_BYTES],
                    char buf[PN_SHA256_HEX_SIZE]) {
    static const char digits[] = "0123456789abcdef";
    for (size_t i = 0; i < PN_SHA256_BYTES; i++) {
        buf[2 * i] = digits[sha256[i] >> 4];
        buf[2 * i + 1] = digits[sha256[i] & 15];
    }
    buf[PN_SHA256_HEX_SIZE - 1] = '\0';
    return buf;
}
