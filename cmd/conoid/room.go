package main

import (
	"bufio"
	"errors"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"conoid/sim/fact"
)

// room is where a sitting takes place: a terminal with line editing, history
// and completion, or plain lines in and out.
type room struct {
	out     io.Writer // of the sitting
	results io.Writer // of what a program reads
	plain   bool

	lines    *bufio.Reader // when there is no terminal
	echo     bool          // lines that come from elsewhere are shown
	terminal *term.Terminal
	restore  func()
	complete func(line string) []string
}

const prompt = "> "

// newRoom is the terminal of a command when there is one and it is wanted.
func newRoom(cmd *cobra.Command, plain, asJSON bool) *room {
	r := &room{out: cmd.OutOrStdout(), results: cmd.OutOrStdout(), plain: plain}
	if asJSON {
		r.out = cmd.ErrOrStderr()
	}
	in := cmd.InOrStdin()
	screen, isFile := r.out.(*os.File)
	keys, fromFile := in.(*os.File)
	typed := fromFile && term.IsTerminal(int(keys.Fd()))
	r.lines, r.echo = bufio.NewReader(in), !typed
	if !isFile || !term.IsTerminal(int(screen.Fd())) {
		r.plain = true
	}
	if r.plain || !typed {
		return r
	}
	before, err := term.MakeRaw(int(keys.Fd()))
	if err != nil {
		return r
	}
	r.restore = func() { term.Restore(int(keys.Fd()), before) }
	r.terminal = term.NewTerminal(struct {
		io.Reader
		io.Writer
	}{keys, screen}, prompt)
	if w, h, err := term.GetSize(int(screen.Fd())); err == nil && w > 0 {
		r.terminal.SetSize(w, h)
	}
	r.terminal.AutoCompleteCallback = r.tab
	return r
}

// interactive reports whether a person types.
func (r *room) interactive() bool { return !r.echo }

func (r *room) close() {
	if r.restore != nil {
		r.restore()
		r.restore = nil
	}
}

// Write shows part of the sitting.
func (r *room) Write(p []byte) (int, error) {
	if r.terminal != nil && r.restore != nil {
		return r.terminal.Write(p)
	}
	return r.out.Write(p)
}

// longestLine is more than any command needs.
const longestLine = 4096

var errLongLine error = fact.Refuse("terminal.long-line")

// next is the next line that is typed or read; io.EOF at the end.
func (r *room) next() (string, error) {
	if r.terminal != nil {
		line, err := r.terminal.ReadLine()
		if errors.Is(err, term.ErrPasteIndicator) {
			err = nil
		}
		return line, err
	}
	if !r.echo {
		io.WriteString(r.out, prompt)
	}
	line, err := r.read()
	if err == nil && r.echo && !skipped(line) {
		io.WriteString(r.out, "\n"+prompt+line+"\n")
	}
	return line, err
}

// read is a line without its end. What is too long is skipped to its end.
func (r *room) read() (string, error) {
	var line []byte
	for {
		part, more, err := r.lines.ReadLine()
		if err != nil {
			return "", err
		}
		if len(line) <= longestLine {
			line = append(line, part...)
		}
		if !more {
			break
		}
	}
	if len(line) > longestLine {
		return "", errLongLine
	}
	return string(line), nil
}

// skipped reports whether a line is empty or a comment.
func skipped(line string) bool {
	t := strings.TrimSpace(line)
	return t == "" || strings.HasPrefix(t, "#")
}

// tab completes a line as far as it is plain, and shows what it may become.
func (r *room) tab(line string, pos int, key rune) (string, int, bool) {
	if key != '\t' || r.complete == nil || pos != len(line) {
		return "", 0, false
	}
	may := r.complete(line)
	if len(may) == 0 {
		return line, pos, true
	}
	longest := common(may)
	if len(may) == 1 && !strings.HasSuffix(longest, " ") {
		longest += " "
	}
	if longest == line && len(may) > 1 {
		head := strings.LastIndexByte(line, ' ') + 1
		var shown []string
		for _, m := range may {
			shown = append(shown, m[head:])
		}
		r.terminal.Write([]byte("  " + strings.Join(shown, "  ") + "\n"))
	}
	return longest, len(longest), true
}

// common is the longest beginning that all share.
func common(words []string) string {
	first, last := slices.Min(words), slices.Max(words)
	n := 0
	for n < len(first) && n < len(last) && first[n] == last[n] {
		n++
	}
	return first[:n]
}
