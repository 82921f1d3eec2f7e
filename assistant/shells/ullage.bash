# Tab completion of ullage for bash. To use it:  eval "$(ullage --completion bash)"  in ~/.bashrc
_ullage() {
    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} place
    COMPREPLY=()
    for ((place = 1; place < COMP_CWORD; place++)); do
        [[ ${COMP_WORDS[place]} == -- ]] && { COMPREPLY=($(compgen -W "@WORDS@" -- "$word")); return; }
    done
    case $before in
        @FILES@) compopt -o filenames 2>/dev/null; COMPREPLY=($(compgen -f -- "$word")); return ;;
        --completion) COMPREPLY=($(compgen -W "@SHELLS@" -- "$word")); return ;;
        --now) return ;;
    esac
    case $word in
        -*) COMPREPLY=($(compgen -W "@ALL@" -- "$word")) ;;
        *) COMPREPLY=($(compgen -W "@WORDS@" -- "$word")) ;;
    esac
}
complete -F _ullage ullage
