package fft

// join8 puts eight blocks of 8 together: split8 the other way round.
func join8(re, im *[64]float32, tw *[14][8]float32) {
	var x, y float32
	for i := range tw[0] {
		a0, b0 := re[i], im[i]
		x, y = re[i+8], im[i+8]
		a1, b1 := x*tw[0][i]-y*tw[1][i], x*tw[1][i]+y*tw[0][i]
		x, y = re[i+16], im[i+16]
		a2, b2 := x*tw[2][i]-y*tw[3][i], x*tw[3][i]+y*tw[2][i]
		x, y = re[i+24], im[i+24]
		a3, b3 := x*tw[4][i]-y*tw[5][i], x*tw[5][i]+y*tw[4][i]
		x, y = re[i+32], im[i+32]
		a4, b4 := x*tw[6][i]-y*tw[7][i], x*tw[7][i]+y*tw[6][i]
		x, y = re[i+40], im[i+40]
		a5, b5 := x*tw[8][i]-y*tw[9][i], x*tw[9][i]+y*tw[8][i]
		x, y = re[i+48], im[i+48]
		a6, b6 := x*tw[10][i]-y*tw[11][i], x*tw[11][i]+y*tw[10][i]
		x, y = re[i+56], im[i+56]
		a7, b7 := x*tw[12][i]-y*tw[13][i], x*tw[13][i]+y*tw[12][i]
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
func join64(re, im *[512]float32, tw *[14][64]float32) {
	var x, y float32
	for i := range tw[0] {
		a0, b0 := re[i], im[i]
		x, y = re[i+64], im[i+64]
		a1, b1 := x*tw[0][i]-y*tw[1][i], x*tw[1][i]+y*tw[0][i]
		x, y = re[i+128], im[i+128]
		a2, b2 := x*tw[2][i]-y*tw[3][i], x*tw[3][i]+y*tw[2][i]
		x, y = re[i+192], im[i+192]
		a3, b3 := x*tw[4][i]-y*tw[5][i], x*tw[5][i]+y*tw[4][i]
		x, y = re[i+256], im[i+256]
		a4, b4 := x*tw[6][i]-y*tw[7][i], x*tw[7][i]+y*tw[6][i]
		x, y = re[i+320], im[i+320]
		a5, b5 := x*tw[8][i]-y*tw[9][i], x*tw[9][i]+y*tw[8][i]
		x, y = re[i+384], im[i+384]
		a6, b6 := x*tw[10][i]-y*tw[11][i], x*tw[11][i]+y*tw[10][i]
		x, y = re[i+448], im[i+448]
		a7, b7 := x*tw[12][i]-y*tw[13][i], x*tw[13][i]+y*tw[12][i]
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
