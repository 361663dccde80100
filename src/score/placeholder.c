/* placeholder until score is written */ typedef int pn_score_placeholder;
