package fft

// join8 puts eight blocks of 8 together: split8 the other way round.
func join8(re, im *[64]float32, tw *[8][14]float32) {
	var x, y float32
	for i := range tw {
		t := &tw[i]
		a0, b0 := re[i], im[i]
		x, y = re[i+8], im[i+8]
		a1, b1 := x*t[0]-y*t[1], x*t[1]+y*t[0]
		x, y = re[i+16], im[i+16]
		a2, b2 := x*t[2]-y*t[3], x*t[3]+y*t[2]
		x, y = re[i+24], im[i+24]
		a3, b3 := x*t[4]-y*t[5], x*t[5]+y*t[4]
		x, y = re[i+32], im[i+32]
		a4, b4 := x*t[6]-y*t[7], x*t[7]+y*t[6]
		x, y = re[i+40], im[i+40]
		a5, b5 := x*t[8]-y*t[9], x*t[9]+y*t[8]
		x, y = re[i+48], im[i+48]
		a6, b6 := x*t[10]-y*t[11], x*t[11]+y*t[10]
		x, y = re[i+56], im[i+56]
		a7, b7 := x*t[12]-y*t[13], x*t[13]+y*t[12]
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
		re[i+8], im[i+8] = a4+a5, b4+b5
		re[i+16], im[i+16] = a2+a3, b2+b3
		re[i+24], im[i+24] = a6+a7, b6+b7
		re[i+32], im[i+32] = a0-a1, b0-b1
		re[i+40], im[i+40] = a4-a5, b4-b5
		re[i+48], im[i+48] = a2-a3, b2-b3
		re[i+56], im[i+56] = a6-a7, b6-b7
	}
}

// join64 puts eight blocks of 64 together.
func join64(re, im *[512]float32, tw *[64][14]float32) {
	var x, y float32
	for i := range tw {
		t := &tw[i]
		a0, b0 := re[i], im[i]
		x, y = re[i+64], im[i+64]
		a1, b1 := x*t[0]-y*t[1], x*t[1]+y*t[0]
		x, y = re[i+128], im[i+128]
		a2, b2 := x*t[2]-y*t[3], x*t[3]+y*t[2]
		x, y = re[i+192], im[i+192]
		a3, b3 := x*t[4]-y*t[5], x*t[5]+y*t[4]
		x, y = re[i+256], im[i+256]
		a4, b4 := x*t[6]-y*t[7], x*t[7]+y*t[6]
		x, y = re[i+320], im[i+320]
		a5, b5 := x*t[8]-y*t[9], x*t[9]+y*t[8]
		x, y = re[i+384], im[i+384]
		a6, b6 := x*t[10]-y*t[11], x*t[11]+y*t[10]
		x, y = re[i+448], im[i+448]
		a7, b7 := x*t[12]-y*t[13], x*t[13]+y*t[12]
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
		re[i+64], im[i+64] = a4+a5, b4+b5
		re[i+128], im[i+128] = a2+a3, b2+b3
		re[i+192], im[i+192] = a6+a7, b6+b7
		re[i+256], im[i+256] = a0-a1, b0-b1
		re[i+320], im[i+320] = a4-a5, b4-b5
		re[i+384], im[i+384] = a2-a3, b2-b3
		re[i+448], im[i+448] = a6-a7, b6-b7
	}
}
