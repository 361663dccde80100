/* placeholder until season is written */ typedef int pn_season_placeholder;
