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
func split8(re, im *[64]float32, tw *[8][14]float32) {
	var x, y float32
	for i := range tw {
		t := &tw[i]
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
		re[i+8], im[i+8] = x*t[0]-y*t[1], x*t[1]+y*t[0]
		x, y = a2+a3, b2+b3
		re[i+16], im[i+16] = x*t[2]-y*t[3], x*t[3]+y*t[2]
		x, y = a6+a7, b6+b7
		re[i+24], im[i+24] = x*t[4]-y*t[5], x*t[5]+y*t[4]
		x, y = a0-a1, b0-b1
		re[i+32], im[i+32] = x*t[6]-y*t[7], x*t[7]+y*t[6]
		x, y = a4-a5, b4-b5
		re[i+40], im[i+40] = x*t[8]-y*t[9], x*t[9]+y*t[8]
		x, y = a2-a3, b2-b3
		re[i+48], im[i+48] = x*t[10]-y*t[11], x*t[11]+y*t[10]
		x, y = a6-a7, b6-b7
		re[i+56], im[i+56] = x*t[12]-y*t[13], x*t[13]+y*t[12]
	}
}

// split64 takes a block of 512 apart into eight of 64.
func split64(re, im *[512]float32, tw *[64][14]float32) {
	var x, y float32
	for i := range tw {
		t := &tw[i]
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
		re[i+64], im[i+64] = x*t[0]-y*t[1], x*t[1]+y*t[0]
		x, y = a2+a3, b2+b3
		re[i+128], im[i+128] = x*t[2]-y*t[3], x*t[3]+y*t[2]
		x, y = a6+a7, b6+b7
		re[i+192], im[i+192] = x*t[4]-y*t[5], x*t[5]+y*t[4]
		x, y = a0-a1, b0-b1
		re[i+256], im[i+256] = x*t[6]-y*t[7], x*t[7]+y*t[6]
		x, y = a4-a5, b4-b5
		re[i+320], im[i+320] = x*t[8]-y*t[9], x*t[9]+y*t[8]
		x, y = a2-a3, b2-b3
		re[i+384], im[i+384] = x*t[10]-y*t[11], x*t[11]+y*t[10]
		x, y = a6-a7, b6-b7
		re[i+448], im[i+448] = x*t[12]-y*t[13], x*t[13]+y*t[12]
	}
}

// split64short is split64 for a block whose last six eighths are 0; what stands
// there is not read.
func split64short(re, im *[512]float32, tw *[64][14]float32) {
	var x, y float32
	for i := range tw {
		t := &tw[i]
		a, b, c, d := re[i], im[i], re[i+64], im[i+64]
		e, f := (c+d)*root, (d-c)*root // the second input, an eighth of a turn on
		re[i], im[i] = a+c, b+d
		x, y = a+e, b+f
		re[i+64], im[i+64] = x*t[0]-y*t[1], x*t[1]+y*t[0]
		x, y = a+d, b-c
		re[i+128], im[i+128] = x*t[2]-y*t[3], x*t[3]+y*t[2]
		x, y = a+f, b-e
		re[i+192], im[i+192] = x*t[4]-y*t[5], x*t[5]+y*t[4]
		x, y = a-c, b-d
		re[i+256], im[i+256] = x*t[6]-y*t[7], x*t[7]+y*t[6]
		x, y = a-e, b-f
		re[i+320], im[i+320] = x*t[8]-y*t[9], x*t[9]+y*t[8]
		x, y = a-d, b+c
		re[i+384], im[i+384] = x*t[10]-y*t[11], x*t[11]+y*t[10]
		x, y = a-f, b+e
		re[i+448], im[i+448] = x*t[12]-y*t[13], x*t[13]+y*t[12]
	}
}
