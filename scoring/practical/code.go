package practical

import (
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/json"
	"math/big"
	"strings"
)

// letters are those of a code. No two of them are easily taken for one another
// in handwriting: 0 O Q, 1 I L, 2 Z, 5 S, 6 G, 8 B and U V have at most one member
// here. The choice is the project's.
const letters = "34789ACDEFGHJKMNPRSTUWXY"

// codeLength is the number of letters of a code: log2(24^16) is 73 bits. Whoever
// wants to change a record behind a code that is on paper already has to try
// about 2^73 changes, which nobody can. Two records that share a code, both made
// before the code is written down, would take about 2^37 tries; but those are
// both the candidate's own doing, and a better one could have been handed in as
// it is.
const codeLength = 16

// code is the code of a record; see [Record.Code].
func code(r *record) string {
	data, err := json.Marshal(r)
	if err != nil {
		panic("practical: code: " + err.Error())
	}
	sum := sha256.Sum256(append([]byte("Conoid practical record\n"), data...))
	return Spell(sum[:], codeLength)
}

// fingerprint is a short code of a public key.
func fingerprint(k ed25519.PublicKey) string {
	sum := sha256.Sum256(append([]byte("Conoid assessor\n"), k...))
	return Spell(sum[:], codeLength)
}

// Spell writes a number in letters, in groups of 4. The number should be much
// larger than what so many letters can tell, so that all are equally likely.
func Spell(number []byte, length int) string {
	n, base, rest := new(big.Int).SetBytes(number), big.NewInt(int64(len(letters))), new(big.Int)
	var b strings.Builder
	for i := range length {
		if i > 0 && i%4 == 0 {
			b.WriteByte('-')
		}
		n.DivMod(n, base, rest)
		b.WriteByte(letters[rest.Int64()])
	}
	return b.String()
}
