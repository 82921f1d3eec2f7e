# Tab completion of ullage for fish. To use it:  ullage --completion fish > ~/.config/fish/completions/ullage.fish
complete -c ullage -f
@TABLE@
complete -c ullage -a '@WORDS@'
