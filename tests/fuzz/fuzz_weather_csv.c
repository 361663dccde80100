/* A plain CSV of weather: any bytes either fail cleanly or give a record whose
 * values are missing or plausible. */
#include <stdint.h>

#include "fuzz_weather_common.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    return fuzz_weather(data, size);
}
