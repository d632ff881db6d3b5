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
)

// keys is a fresh pair of keys.
func keys(t *testing.T) (Lock, Key) {
	file, recipient, err := NewKeys()
	require.NoError(t, err)
	l, err := LockFor(recipient)
	require.NoError(t, err)
	k, err := ReadKeys("mine.key", file)
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
	assert.ErrorContains(t, err, "quay: ")
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
	assert.ErrorContains(t, err, "5 characters; 8 or more")
	_, err = KeyOf("")
	assert.ErrorContains(t, err, "empty")
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
		"another file": {plain, `quay:1:1: this is not a sealed case, whose first line is "Conoid sealed case, version 1"`},
		"no version":   {"Conoid sealed case, version x\n", "quay:1:1: this is not a sealed case"},
		"newer":        {"Conoid sealed case, version 2\nanything", "quay:1:29: the file is of version 2; this program opens version 1"},
		"cut off":      {"Conoid sealed case, version 1\nTitle: T\n", "quay:3:1: the file is cut off"},
		"no title":     {strings.Replace(string(good), "Title: ", "", 1), `quay:2:1: the title is missing`},
		"level":        {strings.Replace(string(good), "Level: 1", "Level: 9", 1), `quay:3:1: the level is missing`},
		"a line more":  {strings.Replace(string(good), "Level: 1\n", "Level: 1\nError: none\n", 1), `quay:4:1: an empty line is missing`},
		"damaged":      {strings.Replace(string(good), "-----END", "----END", 1), `quay:5:1: the sealed part is damaged`},
		"too large":    {string(good) + strings.Repeat("x", maxSealed), "quay:1:1: the file has"},
	} {
		_, err := ReadSealed("quay", []byte(c.file))
		assert.ErrorContains(t, err, c.want, name)
	}
}

func TestACaseWithMistakesIsNotSealed(t *testing.T) {
	l, _ := keys(t)
	_, err := Seal("quay.toml", []byte(with("34", "400")), l)
	var bad *Malformed
	assert.ErrorAs(t, err, &bad)
}

func TestLocksAndKeysThatAreNone(t *testing.T) {
	file, recipient, err := NewKeys()
	require.NoError(t, err)
	secret := strings.Split(string(file), "\n")[2]
	_, err = LockFor()
	assert.ErrorContains(t, err, "nobody")
	_, err = LockFor("gull")
	assert.ErrorContains(t, err, `"gull" is not a recipient: a recipient begins with age1`)
	_, err = LockFor(secret)
	require.ErrorContains(t, err, "the secret half of a key, which nobody else should see")
	assert.NotContains(t, err.Error(), secret[:20])

	for text, want := range map[string]string{
		"":                     "k:1:1: there is no key in the file",
		"# only this\n":        "k:1:1: there is no key in the file",
		"# x\n" + recipient:    "k:2:1: this is a recipient, the public half",
		secret[:30] + "\n":     "k:1:1: this is no key, or one that was changed",
		secret + "\nrubbish\n": "k:2:1: this is no key",
		plain:                  "k:3:1: this is no key",
	} {
		_, err := ReadKeys("k", []byte(text))
		require.ErrorContains(t, err, want)
		assert.NotContains(t, err.Error(), secret[:30])
	}
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
