/* placeholder until soil is written */ typedef int pn_soil_placeholder;
