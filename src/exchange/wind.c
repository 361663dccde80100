// SPDX-License-Identifier: MIT
#include "pannage/exchange.h"

#include <math.h>

double pn_exchange_wind_2m_m_s(double wind_m_s, double height_m) {
    if (!(wind_m_s >= 0.0 && height_m >= 0.5 && height_m <= 200.0)) {
        return NAN;
    }
    return wind_m_s * 4.87 / log(67.8 * height_m - 5.42); /* [FAO56] Eq. 47 */
}
