/* Spore sizes out of any bytes: what is read is in order, and its statistics
 * are finite and in their order. */
#include <math.h>
#include <stdlib.h>

#include "pannage/check.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool holds) {
    if (!holds) {
        abort();
    }
}

static void check_statistics(double *values, size_t count) {
    pn_spores s = pn_spores_of(values, count);
    must(s.count == count && isfinite(s.mean) && isfinite(s.sd));
    must(s.least <= s.low && s.low <= s.high && s.high <= s.most);
    must(s.mean_low <= s.mean && s.mean <= s.mean_high);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    enum { ROOM = 64 };
    double length[ROOM];
    double width[ROOM];
    pn_spore_sizes sizes = {length, width, ROOM, 0, false};
    pn_error err;
    if (pn_spores_read((pn_text){(const char *)data, size}, &sizes, &err) !=
        PN_OK) {
        return 0;
    }
    must(sizes.count >= 2 && sizes.count <= ROOM);
    for (size_t i = 0; i < sizes.count; i++) {
        must(length[i] > 0.0 && width[i] <= length[i]);
        must(sizes.has_width == (width[i] > 0.0));
    }
    check_statistics(length, sizes.count);
    if (sizes.has_width) {
        check_statistics(width, sizes.count);
    }
    return 0;
}
