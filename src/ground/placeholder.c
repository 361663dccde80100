/* placeholder until ground is written */ typedef int pn_ground_placeholder;
