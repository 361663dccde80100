#include "check_internal.h"

void pn_check_stages(const pn_check_session *session, size_t sheet,
                     double out[PN_GUIDE_STAGE_COUNT]) {
    double sum = 0.0;
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        out[stage] = session->posterior[check_hypothesis(sheet, stage)];
        sum += out[stage];
    }
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        out[stage] = sum > 0.0 ? out[stage] / sum : 1.0 / PN_GUIDE_STAGE_COUNT;
    }
}
