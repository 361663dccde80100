/* placeholder until outlook is written */ typedef int pn_outlook_placeholder;
