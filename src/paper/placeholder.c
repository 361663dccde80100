/* placeholder until paper is written */ typedef int pn_paper_placeholder;
