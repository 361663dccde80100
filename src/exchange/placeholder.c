/* placeholder until exchange is written */ typedef int pn_exchange_placeholder;
