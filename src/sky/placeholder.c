/* placeholder until sky is written */ typedef int pn_sky_placeholder;
