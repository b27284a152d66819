package completion

import "strings"

// Command is the command of the program that the scripts ask: after it stand the words of the
// command line up to the one that is being written. It answers with a word a line, and with
// [FilesLine] where files may stand.
const Command = "suggest"

// FilesLine says that files may stand at a place. No word of a command line has a tab in front.
const FilesLine = "\tfiles"

// Shells lists the shells that have a script.
func Shells() []string { return []string{"bash", "zsh", "fish", "powershell"} }

// Script is the completion script of a shell for a program. It panics for a shell that is not among
// Shells.
func Script(shell, program string) string {
	text, ok := scripts[shell]
	if !ok {
		panic("no completion script for " + shell)
	}
	return strings.NewReplacer("PROGRAM", program, "COMMAND", Command).Replace(text)
}

var scripts = map[string]string{
	"bash": `# bash completion for PROGRAM; put it into ~/.local/share/bash-completion/completions/PROGRAM
_PROGRAM() {
  local line files= word n=0 cut=
  local -a words=()
  for word in "${COMP_WORDS[@]:1:COMP_CWORD}"; do # bash parts words at "="
    if ((n > 0)) && [[ $word == = || ${words[n-1]} == *= ]]; then words[n-1]+=$word; else words[n++]=$word; fi
  done
  if [[ ${words[n-1]} == *=* && ${COMP_WORDS[COMP_CWORD]} != ?*=* ]]; then cut=yes; fi
  COMPREPLY=()
  while IFS= read -r line; do
    if [[ $line == $'\tfiles' ]]; then files=yes; continue; fi
    if [[ $cut ]]; then line=${line#*=}; fi
    COMPREPLY+=("$(printf %q "$line")")
  done < <(PROGRAM COMMAND "${words[@]}" 2>/dev/null)
  if [[ $files ]]; then compopt -o default 2>/dev/null; fi
}
complete -F _PROGRAM PROGRAM
`,
	"zsh": `#compdef PROGRAM
# zsh completion for PROGRAM; put it as _PROGRAM into a folder of $fpath
_PROGRAM() {
  local line files=
  local -a list
  while IFS= read -r line; do
    if [[ $line == $'\tfiles' ]]; then files=yes; else list+=("$line"); fi
  done < <(PROGRAM COMMAND "${(@)words[2,CURRENT]}" 2>/dev/null)
  if (( $#list )); then compadd -a list; fi
  if [[ -n $files ]]; then _files; fi
}
_PROGRAM "$@"
`,
	"fish": `# fish completion for PROGRAM; put it into ~/.config/fish/completions/PROGRAM.fish
function __PROGRAM_suggest
  set -l words (commandline -opc) (commandline -ct)
  for line in (PROGRAM COMMAND $words[2..-1] 2>/dev/null)
    if test "$line" = \t"files"
      __fish_complete_path (commandline -ct)
    else
      echo $line
    end
  end
end
complete -c PROGRAM -f -a "(__PROGRAM_suggest)"
`,
	// Where the block gives nothing the shell completes files.
	"powershell": `# PowerShell completion for PROGRAM; add it to $PROFILE
Register-ArgumentCompleter -Native -CommandName 'PROGRAM' -ScriptBlock {
  param($word, $line, $cursor)
  $words = @($line.CommandElements | Select-Object -Skip 1 | ` +
		`Where-Object { $_.Extent.EndOffset -lt $cursor } | ForEach-Object { $_.ToString() })
  $words += $(if ($word) { "$word" } else { '""' })
  PROGRAM COMMAND @words 2>$null | Where-Object { $_ -ne "` + "`" + `tfiles" } | ForEach-Object {
    $text = if ($_ -match '\s') { "'" + $_.Replace("'", "''") + "'" } else { $_ }
    [System.Management.Automation.CompletionResult]::new($text, $_, 'ParameterValue', $_)
  }
}
`,
}
