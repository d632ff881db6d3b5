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
	for _, c := range Library() {
		file, err := library.ReadFile("library/" + c.ID + ".toml")
		require.NoError(t, err)
		sealed, err := Seal("quay.toml", file, l)
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
		back, err := s.Open(k)
		require.NoError(t, err)
		assert.Equal(t, file, back, "to the last comment")
	}
}

func TestSeveralRecipients(t *testing.T) {
	a, mine := keys(t)
	b, theirs := keys(t)
	_, others := keys(t)
	sealed, err := Seal("quay.toml", []byte(plain), Lock{append(a.to, b.to...)})
	require.NoError(t, err)
	for _, k := range []Key{mine, theirs} {
		_, err := Open("quay", sealed, k)
		assert.NoError(t, err)
	}
	_, err = Open("quay", sealed, others)
	assert.ErrorIs(t, err, ErrWrongKey)
	assert.Equal(t, fact.Because(ErrWrongKey, "file.at", "file", "quay"), err)
	_, err = Open("quay", sealed, Key{})
	assert.ErrorIs(t, err, ErrWrongKey)
}

func TestPassphrase(t *testing.T) {
	l, err := LockWith("nine grey gulls")
	require.NoError(t, err)
	sealed, err := Seal("quay.toml", []byte(plain), l)
	require.NoError(t, err)
	s, err := ReadSealed("quay", sealed)
	require.NoError(t, err)
	assert.True(t, s.Passphrase)

	k, err := KeyOf("nine grey gulls")
	require.NoError(t, err)
	_, err = s.Open(k)
	assert.NoError(t, err)
	k, err = KeyOf("nine grey gull")
	require.NoError(t, err)
	_, err = s.Open(k)
	assert.ErrorIs(t, err, ErrWrongKey)

	_, err = LockWith("gulls")
	assert.Equal(t, fact.Refuse("seal.short", "n", fact.Count(5), "least", fact.Count(8)), err)
	_, err = LockWith("seagull")
	assert.Error(t, err)
	_, err = LockWith("seagulls")
	assert.NoError(t, err)
	_, err = KeyOf("")
	assert.Equal(t, fact.Refuse("seal.empty-passphrase"), err)
}

// A file must not make the program work for longer than its own do.
func TestTooMuchWorkIsRefused(t *testing.T) {
	l, k := quick(t, "nine grey gulls")
	l.to[0].(*age.ScryptRecipient).SetWorkFactor(workFactor + 1)
	sealed, err := Seal("quay.toml", []byte(plain), l)
	require.NoError(t, err)
	_, err = Open("quay", sealed, k)
	assert.ErrorIs(t, err, ErrChanged)
}

func TestEveryChangedByteIsRefused(t *testing.T) {
	for name, made := range map[string]func(*testing.T) (Lock, Key){
		"key":        keys,
		"passphrase": func(t *testing.T) (Lock, Key) { return quick(t, "nine grey gulls") },
	} {
		t.Run(name, func(t *testing.T) {
			l, k := made(t)
			sealed, err := Seal("quay.toml", []byte(plain), l)
			require.NoError(t, err)
			_, err = Open("quay", sealed, k)
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
	a, err := Seal("a.toml", []byte(plain), l)
	require.NoError(t, err)
	b, err := Seal("b.toml", []byte(with(`"T"`, `"Another"`)), l)
	require.NoError(t, err)
	_, err = Open("mixed", append(head("Another", 1), a[len(head("T", 1)):]...), k)
	assert.ErrorIs(t, err, ErrChanged)
	_, err = Open("b", b, k)
	assert.NoError(t, err)
}

func TestSealedFilesThatAreNone(t *testing.T) {
	l, _ := keys(t)
	good, err := Seal("quay.toml", []byte(plain), l)
	require.NoError(t, err)
	for name, c := range map[string]struct{ file, want string }{
		"another file": {plain, `1:1: seal.no-case (first ["Conoid sealed case, version 1"])`},
		"no version":   {"Conoid sealed case, version x\n", `1:1: seal.no-case (first ["Conoid sealed case, version 1"])`},
		"cut off":      {"Conoid sealed case, version 1\nTitle: T\n", "3:1: seal.cut-off"},
		"no title":     {strings.Replace(string(good), "Title: ", "", 1), `2:1: seal.no-title (begins ["Title: "])`},
		"level":        {strings.Replace(string(good), "Level: 1", "Level: 9", 1), `3:1: seal.no-level (begins ["Level: "], most 4)`},
		"a line more":  {strings.Replace(string(good), "Level: 1\n", "Level: 1\nError: none\n", 1), `4:1: seal.no-empty-line`},
		"damaged":      {strings.Replace(string(good), "-----END", "----END", 1), `5:1: seal.damaged (cause seal.changed)`},
		"too large":    {string(good) + strings.Repeat("x", maxSealed), fmt.Sprintf("1:1: case.size (most 262144, size %d)", len(good)+maxSealed)},
	} {
		_, err := ReadSealed("quay", []byte(c.file))
		assert.Equal(t, c.want, told(t, err), name)
	}
	for _, version := range []string{"0", "2"} {
		_, err := ReadSealed("quay", []byte("Conoid sealed case, version "+version+"\nanything"))
		what := fact.New("case.version", "version", version, "reads", fact.Count(1))
		assert.Equal(t, &Unsupported{"quay", Mistake{1, 29, what}}, err)
	}
}

func TestACaseWithMistakesIsNotSealed(t *testing.T) {
	l, _ := keys(t)
	_, err := Seal("quay.toml", []byte(with("34", "400")), l)
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
	sealed, err := Seal("quay.toml", []byte(plain), l)
	require.NoError(t, err)
	h := head("T", 1)
	r, err := age.Decrypt(armor.NewReader(bytes.NewReader(sealed[len(h):])), k.ids...)
	require.NoError(t, err)
	text, err := io.ReadAll(r)
	require.NoError(t, err)
	assert.Equal(t, fmt.Sprintf("%s\n%s", sum(h), plain), string(text))
}

// BenchmarkOpenPassphrase is what a browser is asked for.
func BenchmarkOpenPassphrase(b *testing.B) {
	l, err := LockWith("nine grey gulls")
	require.NoError(b, err)
	sealed, err := Seal("quay.toml", []byte(plain), l)
	require.NoError(b, err)
	k, err := KeyOf("nine grey gulls")
	require.NoError(b, err)
	for b.Loop() {
		_, err := Open("quay", sealed, k)
		require.NoError(b, err)
	}
}

func FuzzReadSealed(f *testing.F) {
	f.Add([]byte("Conoid sealed case, version 1\nTitle: T\nLevel: 1\n\n-----BEGIN AGE ENCRYPTED FILE-----\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ReadSealed("quay", data)
		if err == nil {
			assert.True(t, IsSealed(data))
			assert.True(t, s.Level >= 1 && s.Level <= Levels)
		}
	})
}
