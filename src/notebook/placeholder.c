/* placeholder until notebook is written */ typedef int pn_notebook_placeholder;
