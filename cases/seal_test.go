package cases

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"

	"filippo.io/age"
	"filippo.io/age/armor"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/fact"
)

// keys is a fresh pair of keys.
func keys(t *testing.T) (Lock, Key) {
	secret, recipient, err := NewKeys()
	require.NoError(t, err)
	l, err := LockFor(recipient)
	require.NoError(t, err)
	k, err := ReadKeys("mine.key", KeyFile(secret, recipient, plainWords))
	require.NoError(t, err)
	return l, k
}

// sealed is a case file sealed for sitters, and for nobody's author key.
func sealed(t *testing.T, file string, sitters Lock) []byte {
	authors, _ := keys(t)
	out, err := Seal("quay.toml", []byte(file), sitters, authors)
	require.NoError(t, err)
	return out
}

// quick is the lock and the key of a passphrase that cost next to nothing.
func quick(t *testing.T, passphrase string) (Lock, Key) {
	l, err := scryptLock(passphrase, 1)
	require.NoError(t, err)
	k, err := KeyOf(passphrase)
	require.NoError(t, err)
	return l, k
}

func TestASealedCaseIsTheSameCase(t *testing.T) {
	l, k := keys(t)
	authors, author := keys(t)
	for _, c := range Library() {
		file, err := library.ReadFile("library/" + c.ID + ".toml")
		require.NoError(t, err)
		sealed, err := Seal("quay.toml", file, l, authors)
		require.NoError(t, err)
		assert.True(t, IsSealed(sealed))
		assert.False(t, IsSealed(file))

		got, err := Open(c.ID+SealedEnding, sealed, k)
		require.NoError(t, err)
		assert.Equal(t, c, got)
		assert.NotContains(t, string(sealed), c.Of(c.Tested).Error.ASCII())

		s, err := ReadSealed("x", sealed)
		require.NoError(t, err)
		assert.Equal(t, c.Title, s.Title)
		assert.Equal(t, c.Level, s.Level)
		assert.False(t, s.Passphrase)
		_, err = s.OpenWhole(k)
		assert.ErrorIs(t, err, ErrWrongKey, "who sits a case is no author of it")
		back, err := s.OpenWhole(author)
		require.NoError(t, err)
		assert.Equal(t, file, back, "to the last comment")
		got, err = Open(c.ID+SealedEnding, sealed, author)
		require.NoError(t, err)
		assert.Equal(t, c, got, "an author may sit it as well")
	}
}

// What a tutor noted beside the numbers is no part of what is sat.
func TestCommentsStayWithTheAuthors(t *testing.T) {
	l, k := keys(t)
	s, err := ReadSealed("quay", sealed(t, "# a trap: the axis is 30\n"+plain, l))
	require.NoError(t, err)
	text, err := s.Open(k)
	require.NoError(t, err)
	assert.NotContains(t, string(text), "trap")
	assert.Equal(t, mustRead(t, plain), mustRead(t, string(text)))
}

// An author knows that the case that is sat is the one that was sealed.
func TestThePartForSittersCannotBeExchanged(t *testing.T) {
	l, k := keys(t)
	authors, author := keys(t)
	parts := func(file string) (h, sitting, whole string) {
		out, err := Seal("quay.toml", []byte(file), l, authors)
		require.NoError(t, err)
		h = string(head("T", 1))
		body, _, _ := strings.Cut(strings.TrimPrefix(string(out), h), checksumMark)
		end := strings.Index(body, armor.Footer) + len(armor.Footer) + 1
		return h, body[:end], body[end:]
	}
	h, _, whole := parts(plain)
	_, other, _ := parts(with("34", "35"))
	s, err := ReadSealed("mixed", checked([]byte(h+other+whole)))
	require.NoError(t, err)
	_, err = s.Open(k)
	require.NoError(t, err)
	_, err = s.OpenWhole(author)
	assert.ErrorIs(t, err, ErrChanged)
}

// A stanza of scrypt that was damaged is told from a wrong passphrase.
func TestDamageIsNoWrongPassphrase(t *testing.T) {
	l, k := quick(t, "nine grey gulls")
	file := sealed(t, plain, l)
	s, err := ReadSealed("quay", file)
	require.NoError(t, err)
	_, wrong := quick(t, "nine grey geese")
	_, err = s.Open(wrong)
	assert.ErrorIs(t, err, ErrWrongKey)

	salt := bytes.Index(s.sitting, []byte("scrypt ")) + len("scrypt ")
	s.sitting[salt] = "BA"[min(1, s.sitting[salt]^'A')] // another letter that base64 has
	_, err = s.Open(k)
	assert.ErrorIs(t, err, ErrWrongKey, "which is all that the part alone can say")
	at := len(head("T", 1)) + len(armor.Header) + 1 + 4*(salt/3)
	file[at+1] ^= 1
	_, err = ReadSealed("quay", file)
	assert.Equal(t, fact.Because(ErrChanged, "file.at", "file", "quay"), err)
}

func TestSeveralRecipients(t *testing.T) {
	a, mine := keys(t)
	b, theirs := keys(t)
	_, others := keys(t)
	sealed := sealed(t, plain, Lock{append(a.to, b.to...)})
	for _, k := range []Key{mine, theirs} {
		_, err := Open("quay", sealed, k)
		assert.NoError(t, err)
	}
	_, err := Open("quay", sealed, others)
	assert.ErrorIs(t, err, ErrWrongKey)
	assert.Equal(t, fact.Because(ErrWrongKey, "file.at", "file", "quay"), err)
	_, err = Open("quay", sealed, Key{})
	assert.ErrorIs(t, err, ErrWrongKey)
}

func TestPassphrase(t *testing.T) {
	l, err := LockWith("nine grey gulls")
	require.NoError(t, err)
	s, err := ReadSealed("quay", sealed(t, plain, l))
	require.NoError(t, err)
	assert.True(t, s.Passphrase)

	k, err := KeyOf(" nine grey gulls\r\n")
	require.NoError(t, err)
	_, err = s.Open(k)
	assert.NoError(t, err, "white space around it does not count")
	k, err = KeyOf("nine grey gull")
	require.NoError(t, err)
	_, err = s.Open(k)
	assert.ErrorIs(t, err, ErrWrongKey)

	_, err = LockWith("gulls")
	assert.Equal(t, fact.Refuse("seal.short", "n", fact.Count(5), "least", fact.Count(8)), err)
	_, err = LockWith(" seagull ")
	assert.Error(t, err)
	_, err = LockWith("seagulls")
	assert.NoError(t, err)
	_, err = KeyOf(" ")
	assert.Equal(t, fact.Refuse("seal.empty-passphrase"), err)
}

// A file must not make the program work for longer than its own do.
func TestTooMuchWorkIsRefused(t *testing.T) {
	l, k := quick(t, "nine grey gulls")
	l.to[0].(*age.ScryptRecipient).SetWorkFactor(workFactor + 1)
	_, err := Open("quay", sealed(t, plain, l), k)
	assert.ErrorIs(t, err, ErrChanged)
}

func TestEveryChangedByteIsRefused(t *testing.T) {
	for name, made := range map[string]func(*testing.T) (Lock, Key){
		"key":        keys,
		"passphrase": func(t *testing.T) (Lock, Key) { return quick(t, "nine grey gulls") },
	} {
		t.Run(name, func(t *testing.T) {
			l, k := made(t)
			sealed := sealed(t, plain, l)
			_, err := Open("quay", sealed, k)
			require.NoError(t, err)
			for i := range sealed {
				for _, b := range []byte{sealed[i] ^ 1, sealed[i] ^ 0x20, ' ', '\n', '\r', 'A', '4'} {
					changed := bytes.Clone(sealed)
					changed[i] = b
					if b != sealed[i] {
						_, err := Open("quay", changed, k)
						require.Error(t, err, "byte %d, %q for %q", i, b, sealed[i])
					}
				}
				_, err := Open("quay", sealed[:i], k)
				require.Error(t, err, "cut off at byte %d", i)
			}
			for _, more := range []string{"\n", " ", "x"} {
				_, err := Open("quay", append(bytes.Clone(sealed), more...), k)
				require.Error(t, err, "%q added", more)
			}
		})
	}
}

func TestTheHeadOfAnotherCaseIsRefused(t *testing.T) {
	l, k := keys(t)
	a, b := sealed(t, plain, l), sealed(t, with(`"T"`, `"Another"`), l)
	rest, _, _ := strings.Cut(string(a[len(head("T", 1)):]), checksumMark)
	mixed, err := ReadSealed("mixed", checked(append(head("Another", 1), rest...)))
	require.NoError(t, err)
	_, err = mixed.Open(k)
	assert.ErrorIs(t, err, ErrChanged)
	_, err = Open("b", b, k)
	assert.NoError(t, err)
}

func TestSealedFilesThatAreNone(t *testing.T) {
	l, _ := keys(t)
	good := sealed(t, plain, l)
	for name, c := range map[string]struct{ file, want string }{
		"another file": {plain, `1:1: seal.no-case (first ["Conoid sealed case, version 2"])`},
		"no version":   {"Conoid sealed case, version x\n", `1:1: seal.no-case (first ["Conoid sealed case, version 2"])`},
		"cut off":      {"Conoid sealed case, version 2\nTitle: T\n", "3:1: seal.cut-off"},
		"no title":     {strings.Replace(string(good), "Title: ", "", 1), `2:1: seal.no-title (begins ["Title: "])`},
		"level":        {strings.Replace(string(good), "Level: 1", "Level: 9", 1), `3:1: seal.no-level (begins ["Level: "], most 4)`},
		"a line more":  {strings.Replace(string(good), "Level: 1\n", "Level: 1\nError: none\n", 1), `4:1: seal.no-empty-line`},
		"too large":    {string(good) + strings.Repeat("x", maxSealed), fmt.Sprintf("1:1: case.size (most 524288, size %d)", len(good)+maxSealed)},
	} {
		_, err := ReadSealed("quay", []byte(c.file))
		assert.Equal(t, c.want, told(t, err), name)
	}
	h := string(head("T", 1))
	for name, file := range map[string]string{
		"damaged":     strings.Replace(string(good), "-----END", "----END", 1),
		"no parts":    string(checked([]byte(h))),
		"one part":    string(checked(good[:bytes.Index(good, []byte(armor.Footer))+len(armor.Footer)+1])),
		"half a part": string(checked(good[:bytes.Index(good, []byte(armor.Footer))])),
		"no checksum": string(good[:bytes.LastIndex(good, []byte(checksumMark))]),
	} {
		_, err := ReadSealed("quay", []byte(file))
		assert.Equal(t, fact.Because(ErrChanged, "file.at", "file", "quay"), err, name)
	}
	_, err := ReadSealed("quay", []byte("Conoid sealed case, version 1\nanything"))
	assert.Equal(t, &Unsupported{"quay", Mistake{1, 29, fact.New("seal.first-version")}}, err)
	for _, version := range []string{"0", "3"} {
		_, err := ReadSealed("quay", []byte("Conoid sealed case, version "+version+"\nanything"))
		what := fact.New("case.version", "version", version, "reads", fact.Count(2))
		assert.Equal(t, &Unsupported{"quay", Mistake{1, 29, what}}, err)
	}
}

func TestACaseWithMistakesIsNotSealed(t *testing.T) {
	l, _ := keys(t)
	_, err := Seal("quay.toml", []byte(with("34", "400")), l, l)
	var bad *Malformed
	assert.ErrorAs(t, err, &bad)
}

func TestLocksAndKeysThatAreNone(t *testing.T) {
	secret, recipient, err := NewKeys()
	require.NoError(t, err)
	_, err = LockFor()
	assert.Equal(t, fact.Refuse("seal.nobody"), err)
	_, err = LockFor("gull")
	assert.Equal(t, fact.Refuse("seal.no-recipient", "text", `"gull"`), err)
	_, err = LockFor(secret)
	assert.Equal(t, fact.Refuse("seal.secret-half"), err)

	const begins = " (begins AGE-SECRET-KEY-1)"
	for text, want := range map[string]string{
		"":                     "1:1: seal.empty-file",
		"# only this\n":        "1:1: seal.empty-file",
		"# x\n" + recipient:    "2:1: seal.public-half" + begins,
		secret[:30] + "\n":     "1:1: seal.no-key" + begins,
		secret + "\nrubbish\n": "2:1: seal.no-key" + begins,
	} {
		_, err := ReadKeys("k", []byte(text))
		assert.Equal(t, want, told(t, err))
	}
	_, err = ReadKeys("k", []byte(plain))
	var bad *Malformed
	require.ErrorAs(t, err, &bad)
	assert.Len(t, bad.Mistakes, 3, "of another file no more is said")
}

// What is inside is an ordinary age file (age-encryption.org/v1), which any
// program of that standard opens: the library's own reader, without ours.
func TestTheSealedPartIsAnAgeFile(t *testing.T) {
	l, k := keys(t)
	authors, author := keys(t)
	sealed, err := Seal("quay.toml", []byte(plain), l, authors)
	require.NoError(t, err)
	h := head("T", 1)
	second := bytes.Index(sealed, []byte(armor.Footer)) + len(armor.Footer) + 1
	decrypted := func(from, to int, k Key) string {
		r, err := age.Decrypt(armor.NewReader(bytes.NewReader(sealed[from:to])), k.ids...)
		require.NoError(t, err)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		return string(text)
	}
	assert.Equal(t, fmt.Sprintf("%s\n%s", sum(h), Write(mustRead(t, plain))), decrypted(len(h), second, k))
	end := bytes.LastIndex(sealed, []byte(checksumMark))
	assert.Equal(t, fmt.Sprintf("%s\n%s", sum(sealed[:second]), plain), decrypted(second, end, author))
}

// BenchmarkOpenPassphrase is what a browser is asked for.
func BenchmarkOpenPassphrase(b *testing.B) {
	l, err := LockWith("nine grey gulls")
	require.NoError(b, err)
	sealed, err := Seal("quay.toml", []byte(plain), l, l)
	require.NoError(b, err)
	k, err := KeyOf("nine grey gulls")
	require.NoError(b, err)
	for b.Loop() {
		_, err := Open("quay", sealed, k)
		require.NoError(b, err)
	}
}

func FuzzReadSealed(f *testing.F) {
	f.Add([]byte("Conoid sealed case, version 2\nTitle: T\nLevel: 1\n\n-----BEGIN AGE ENCRYPTED FILE-----\n"))
	secret, recipient, err := NewKeys()
	require.NoError(f, err)
	l, err := LockFor(recipient)
	require.NoError(f, err)
	k, err := ReadKeys("k", []byte(secret))
	require.NoError(f, err)
	good, err := Seal("quay.toml", []byte(plain), l, l)
	require.NoError(f, err)
	f.Add(good)
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, file := range [][]byte{data, checked(bytes.Clone(data))} {
			s, err := ReadSealed("quay", file)
			if err != nil {
				continue
			}
			s.OpenWhole(k)
			assert.True(t, IsSealed(file))
			assert.True(t, s.Level >= 1 && s.Level <= Levels)
		}
	})
}

func FuzzReadRecipients(f *testing.F) {
	_, recipient, err := NewKeys()
	require.NoError(f, err)
	f.Add([]byte("# friday\n\n" + recipient + "\r\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := ReadRecipients("friday", data)
		if err == nil {
			_, err = LockFor(got...)
			assert.NoError(t, err)
		}
	})
}

func TestRecipientsFromAFile(t *testing.T) {
	secret, a, err := NewKeys()
	require.NoError(t, err)
	_, b, err := NewKeys()
	require.NoError(t, err)
	got, err := ReadRecipients("friday", []byte("\ufeff# friday\r\n\n  "+a+"\r\n"+b))
	require.NoError(t, err)
	assert.Equal(t, []string{a, b}, got)

	_, err = ReadRecipients("friday", []byte(a+"\ngull\n\n"+secret+"\nx\ny\n"+b+"\nz"))
	want := `2:1: seal.no-recipient (text "gull")` + "\n4:1: seal.secret-half\n" + `5:1: seal.no-recipient (text "x")` + "\n" +
		`6:1: seal.no-recipient (text "y")` + "\n" + `8:1: seal.no-recipient (text "z")`
	assert.Equal(t, want, told(t, err))
	_, err = ReadRecipients("friday", []byte("# nobody\n"))
	assert.Equal(t, "1:1: seal.nobody", told(t, err))
	_, err = ReadRecipients("friday", []byte(plain))
	var bad *Malformed
	require.ErrorAs(t, err, &bad)
	assert.Len(t, bad.Mistakes, 3, "of another file no more is said")
}

func TestWhoIsNamedTwiceIsSealedForOnce(t *testing.T) {
	secret, a, err := NewKeys()
	require.NoError(t, err)
	l, err := LockFor(a, " "+a)
	require.NoError(t, err)
	assert.Len(t, l.to, 1)
	k, err := ReadKeys("k", []byte(secret))
	require.NoError(t, err)
	assert.Equal(t, []string{a}, k.Recipients())
	_, words := quick(t, "nine grey gulls")
	assert.Empty(t, words.Recipients())
}
