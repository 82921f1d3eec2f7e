#compdef ullage
# Tab completion of ullage for zsh. To use it:  eval "$(ullage --completion zsh)"  in ~/.zshrc, after compinit
_ullage_words() {
    local -a words_of_ullage
    words_of_ullage=(@WORDS@)
    compadd -a words_of_ullage
}
_ullage() {
    _arguments \
@TABLE@
    '*:phrase:_ullage_words'
}
compdef _ullage ullage
