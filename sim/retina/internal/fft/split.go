package fft

// The passes over eight blocks at a time. Lengths are fixed, so that the
// compiler knows every index to be in range; that is what makes them fast, and
// why the same butterfly is written out five times.

// root is cos 45 degrees.
const root = 0.70710678118654752440

// eight transforms eight neighbours.
func eight(re, im *[8]float32) {
	a0, b0 := re[0], im[0]
	a1, b1 := re[1], im[1]
	a2, b2 := re[2], im[2]
	a3, b3 := re[3], im[3]
	a4, b4 := re[4], im[4]
	a5, b5 := re[5], im[5]
	a6, b6 := re[6], im[6]
	a7, b7 := re[7], im[7]
	// Sums and differences of opposite inputs.
	a0, a4, b0, b4 = a0+a4, a0-a4, b0+b4, b0-b4
	a1, a5, b1, b5 = a1+a5, a1-a5, b1+b5, b1-b5
	a2, a6, b2, b6 = a2+a6, a2-a6, b2+b6, b2-b6
	a3, a7, b3, b7 = a3+a7, a3-a7, b3+b7, b3-b7
	// The differences turn by an eighth, two and three eighths.
	a5, b5 = (a5+b5)*root, (b5-a5)*root
	a6, b6 = b6, -a6
	a7, b7 = (b7-a7)*root, -(a7+b7)*root
	// Two transforms of four.
	a0, a2, b0, b2 = a0+a2, a0-a2, b0+b2, b0-b2
	a1, a3, b1, b3 = a1+a3, b1-b3, b1+b3, a3-a1
	a4, a6, b4, b6 = a4+a6, a4-a6, b4+b6, b4-b6
	a5, a7, b5, b7 = a5+a7, b5-b7, b5+b7, a7-a5
	re[0], im[0] = a0+a1, b0+b1
	re[1], im[1] = a4+a5, b4+b5
	re[2], im[2] = a2+a3, b2+b3
	re[3], im[3] = a6+a7, b6+b7
	re[4], im[4] = a0-a1, b0-b1
	re[5], im[5] = a4-a5, b4-b5
	re[6], im[6] = a2-a3, b2-b3
	re[7], im[7] = a6-a7, b6-b7
}

// split8 takes a block of 64 apart into eight of 8.
func split8(re, im *[64]float32, tw *[14][8]float32) {
	var x, y float32
	for i := range tw[0] {
		a0, b0 := re[i], im[i]
		a1, b1 := re[i+8], im[i+8]
		a2, b2 := re[i+16], im[i+16]
		a3, b3 := re[i+24], im[i+24]
		a4, b4 := re[i+32], im[i+32]
		a5, b5 := re[i+40], im[i+40]
		a6, b6 := re[i+48], im[i+48]
		a7, b7 := re[i+56], im[i+56]
		// Sums and differences of opposite inputs.
		a0, a4, b0, b4 = a0+a4, a0-a4, b0+b4, b0-b4
		a1, a5, b1, b5 = a1+a5, a1-a5, b1+b5, b1-b5
		a2, a6, b2, b6 = a2+a6, a2-a6, b2+b6, b2-b6
		a3, a7, b3, b7 = a3+a7, a3-a7, b3+b7, b3-b7
		// The differences turn by an eighth, two and three eighths.
		a5, b5 = (a5+b5)*root, (b5-a5)*root
		a6, b6 = b6, -a6
		a7, b7 = (b7-a7)*root, -(a7+b7)*root
		// Two transforms of four.
		a0, a2, b0, b2 = a0+a2, a0-a2, b0+b2, b0-b2
		a1, a3, b1, b3 = a1+a3, b1-b3, b1+b3, a3-a1
		a4, a6, b4, b6 = a4+a6, a4-a6, b4+b6, b4-b6
		a5, a7, b5, b7 = a5+a7, b5-b7, b5+b7, a7-a5
		re[i], im[i] = a0+a1, b0+b1
		x, y = a4+a5, b4+b5
		re[i+8], im[i+8] = x*tw[0][i]-y*tw[1][i], x*tw[1][i]+y*tw[0][i]
		x, y = a2+a3, b2+b3
		re[i+16], im[i+16] = x*tw[2][i]-y*tw[3][i], x*tw[3][i]+y*tw[2][i]
		x, y = a6+a7, b6+b7
		re[i+24], im[i+24] = x*tw[4][i]-y*tw[5][i], x*tw[5][i]+y*tw[4][i]
		x, y = a0-a1, b0-b1
		re[i+32], im[i+32] = x*tw[6][i]-y*tw[7][i], x*tw[7][i]+y*tw[6][i]
		x, y = a4-a5, b4-b5
		re[i+40], im[i+40] = x*tw[8][i]-y*tw[9][i], x*tw[9][i]+y*tw[8][i]
		x, y = a2-a3, b2-b3
		re[i+48], im[i+48] = x*tw[10][i]-y*tw[11][i], x*tw[11][i]+y*tw[10][i]
		x, y = a6-a7, b6-b7
		re[i+56], im[i+56] = x*tw[12][i]-y*tw[13][i], x*tw[13][i]+y*tw[12][i]
	}
}

// split64 takes a block of 512 apart into eight of 64.
func split64(re, im *[512]float32, tw *[14][64]float32) {
	var x, y float32
	for i := range tw[0] {
		a0, b0 := re[i], im[i]
		a1, b1 := re[i+64], im[i+64]
		a2, b2 := re[i+128], im[i+128]
		a3, b3 := re[i+192], im[i+192]
		a4, b4 := re[i+256], im[i+256]
		a5, b5 := re[i+320], im[i+320]
		a6, b6 := re[i+384], im[i+384]
		a7, b7 := re[i+448], im[i+448]
		// Sums and differences of opposite inputs.
		a0, a4, b0, b4 = a0+a4, a0-a4, b0+b4, b0-b4
		a1, a5, b1, b5 = a1+a5, a1-a5, b1+b5, b1-b5
		a2, a6, b2, b6 = a2+a6, a2-a6, b2+b6, b2-b6
		a3, a7, b3, b7 = a3+a7, a3-a7, b3+b7, b3-b7
		// The differences turn by an eighth, two and three eighths.
		a5, b5 = (a5+b5)*root, (b5-a5)*root
		a6, b6 = b6, -a6
		a7, b7 = (b7-a7)*root, -(a7+b7)*root
		// Two transforms of four.
		a0, a2, b0, b2 = a0+a2, a0-a2, b0+b2, b0-b2
		a1, a3, b1, b3 = a1+a3, b1-b3, b1+b3, a3-a1
		a4, a6, b4, b6 = a4+a6, a4-a6, b4+b6, b4-b6
		a5, a7, b5, b7 = a5+a7, b5-b7, b5+b7, a7-a5
		re[i], im[i] = a0+a1, b0+b1
		x, y = a4+a5, b4+b5
		re[i+64], im[i+64] = x*tw[0][i]-y*tw[1][i], x*tw[1][i]+y*tw[0][i]
		x, y = a2+a3, b2+b3
		re[i+128], im[i+128] = x*tw[2][i]-y*tw[3][i], x*tw[3][i]+y*tw[2][i]
		x, y = a6+a7, b6+b7
		re[i+192], im[i+192] = x*tw[4][i]-y*tw[5][i], x*tw[5][i]+y*tw[4][i]
		x, y = a0-a1, b0-b1
		re[i+256], im[i+256] = x*tw[6][i]-y*tw[7][i], x*tw[7][i]+y*tw[6][i]
		x, y = a4-a5, b4-b5
		re[i+320], im[i+320] = x*tw[8][i]-y*tw[9][i], x*tw[9][i]+y*tw[8][i]
		x, y = a2-a3, b2-b3
		re[i+384], im[i+384] = x*tw[10][i]-y*tw[11][i], x*tw[11][i]+y*tw[10][i]
		x, y = a6-a7, b6-b7
		re[i+448], im[i+448] = x*tw[12][i]-y*tw[13][i], x*tw[13][i]+y*tw[12][i]
	}
}

// split64short is split64 for a block whose last six eighths are 0; what stands
// there is not read.
func split64short(re, im *[512]float32, tw *[14][64]float32) {
	var x, y float32
	for i := range tw[0] {
		a, b, c, d := re[i], im[i], re[i+64], im[i+64]
		e, f := (c+d)*root, (d-c)*root // the second input, an eighth of a turn on
		re[i], im[i] = a+c, b+d
		x, y = a+e, b+f
		re[i+64], im[i+64] = x*tw[0][i]-y*tw[1][i], x*tw[1][i]+y*tw[0][i]
		x, y = a+d, b-c
		re[i+128], im[i+128] = x*tw[2][i]-y*tw[3][i], x*tw[3][i]+y*tw[2][i]
		x, y = a+f, b-e
		re[i+192], im[i+192] = x*tw[4][i]-y*tw[5][i], x*tw[5][i]+y*tw[4][i]
		x, y = a-c, b-d
		re[i+256], im[i+256] = x*tw[6][i]-y*tw[7][i], x*tw[7][i]+y*tw[6][i]
		x, y = a-e, b-f
		re[i+320], im[i+320] = x*tw[8][i]-y*tw[9][i], x*tw[9][i]+y*tw[8][i]
		x, y = a-d, b+c
		re[i+384], im[i+384] = x*tw[10][i]-y*tw[11][i], x*tw[11][i]+y*tw[10][i]
		x, y = a-f, b+e
		re[i+448], im[i+448] = x*tw[12][i]-y*tw[13][i], x*tw[13][i]+y*tw[12][i]
	}
}
