#include "textflag.h"

// Dense kernels in AVX2 with fused multiply-add. Matrices are stored by columns. The meaning of every function is
// stated at its portable twin in kernel.go; a test holds the two together.

// Tile kernels: accumulators first (column j of the tile in registers NV*j...), Y12-Y14 hold rows of A, Y15 a
// broadcast entry of B.

#define TILE_ARGUMENTS \
	MOVQ k+0(FP), CX; \
	MOVQ a+8(FP), SI; \
	MOVQ b+16(FP), DI; \
	MOVQ c+24(FP), R8; \
	MOVQ ldc+32(FP), R9; \
	SHLQ $3, R9; \
	LEAQ (R8)(R9*2), R10; \
	PREFETCHT0 (R8); \
	PREFETCHT0 (R8)(R9*1); \
	PREFETCHT0 (R10); \
	PREFETCHT0 (R10)(R9*1)

#define CLEAR4(A, B, C, D) \
	VXORPD A, A, A; \
	VXORPD B, B, B; \
	VXORPD C, C, C; \
	VXORPD D, D, D

#define STEP12(P) \
	VMOVUPD (96*P+0)(SI), Y12; \
	VMOVUPD (96*P+32)(SI), Y13; \
	VMOVUPD (96*P+64)(SI), Y14; \
	VBROADCASTSD (32*P+0)(DI), Y15; \
	VFMADD231PD Y12, Y15, Y0; \
	VFMADD231PD Y13, Y15, Y1; \
	VFMADD231PD Y14, Y15, Y2; \
	VBROADCASTSD (32*P+8)(DI), Y15; \
	VFMADD231PD Y12, Y15, Y3; \
	VFMADD231PD Y13, Y15, Y4; \
	VFMADD231PD Y14, Y15, Y5; \
	VBROADCASTSD (32*P+16)(DI), Y15; \
	VFMADD231PD Y12, Y15, Y6; \
	VFMADD231PD Y13, Y15, Y7; \
	VFMADD231PD Y14, Y15, Y8; \
	VBROADCASTSD (32*P+24)(DI), Y15; \
	VFMADD231PD Y12, Y15, Y9; \
	VFMADD231PD Y13, Y15, Y10; \
	VFMADD231PD Y14, Y15, Y11

#define STEP8(P) \
	VMOVUPD (96*P+0)(SI), Y12; \
	VMOVUPD (96*P+32)(SI), Y13; \
	VBROADCASTSD (32*P+0)(DI), Y15; \
	VFMADD231PD Y12, Y15, Y0; \
	VFMADD231PD Y13, Y15, Y1; \
	VBROADCASTSD (32*P+8)(DI), Y14; \
	VFMADD231PD Y12, Y14, Y2; \
	VFMADD231PD Y13, Y14, Y3; \
	VBROADCASTSD (32*P+16)(DI), Y15; \
	VFMADD231PD Y12, Y15, Y4; \
	VFMADD231PD Y13, Y15, Y5; \
	VBROADCASTSD (32*P+24)(DI), Y14; \
	VFMADD231PD Y12, Y14, Y6; \
	VFMADD231PD Y13, Y14, Y7

#define STEP4(P) \
	VMOVUPD (96*P+0)(SI), Y12; \
	VBROADCASTSD (32*P+0)(DI), Y13; \
	VBROADCASTSD (32*P+8)(DI), Y14; \
	VFMADD231PD Y12, Y13, Y0; \
	VFMADD231PD Y12, Y14, Y1; \
	VBROADCASTSD (32*P+16)(DI), Y13; \
	VBROADCASTSD (32*P+24)(DI), Y14; \
	VFMADD231PD Y12, Y13, Y2; \
	VFMADD231PD Y12, Y14, Y3

#define ADDTO(OFF, BASE, ACC) \
	VADDPD OFF BASE, ACC, ACC; \
	VMOVUPD ACC, OFF BASE

// func tile12(k int, a, b, c *float64, ldc int)
TEXT ·tile12(SB), NOSPLIT, $0-40
	TILE_ARGUMENTS
	CLEAR4(Y0, Y1, Y2, Y3)
	CLEAR4(Y4, Y5, Y6, Y7)
	CLEAR4(Y8, Y9, Y10, Y11)
	MOVQ CX, BX
	SHRQ $2, BX
	JZ   rest12

four12:
	STEP12(0)
	STEP12(1)
	STEP12(2)
	STEP12(3)
	ADDQ $384, SI
	ADDQ $128, DI
	DECQ BX
	JNZ  four12

rest12:
	ANDQ $3, CX
	JZ   store12

one12:
	STEP12(0)
	ADDQ $96, SI
	ADDQ $32, DI
	DECQ CX
	JNZ  one12

store12:
	ADDTO(0, (R8), Y0)
	ADDTO(32, (R8), Y1)
	ADDTO(64, (R8), Y2)
	ADDTO(0, (R8)(R9*1), Y3)
	ADDTO(32, (R8)(R9*1), Y4)
	ADDTO(64, (R8)(R9*1), Y5)
	ADDTO(0, (R10), Y6)
	ADDTO(32, (R10), Y7)
	ADDTO(64, (R10), Y8)
	ADDTO(0, (R10)(R9*1), Y9)
	ADDTO(32, (R10)(R9*1), Y10)
	ADDTO(64, (R10)(R9*1), Y11)
	VZEROUPPER
	RET

// func tile8(k int, a, b, c *float64, ldc int)
TEXT ·tile8(SB), NOSPLIT, $0-40
	TILE_ARGUMENTS
	CLEAR4(Y0, Y1, Y2, Y3)
	CLEAR4(Y4, Y5, Y6, Y7)
	MOVQ CX, BX
	SHRQ $1, BX
	JZ   rest8

two8:
	STEP8(0)
	STEP8(1)
	ADDQ $192, SI
	ADDQ $64, DI
	DECQ BX
	JNZ  two8

rest8:
	ANDQ $1, CX
	JZ   store8
	STEP8(0)

store8:
	ADDTO(0, (R8), Y0)
	ADDTO(32, (R8), Y1)
	ADDTO(0, (R8)(R9*1), Y2)
	ADDTO(32, (R8)(R9*1), Y3)
	ADDTO(0, (R10), Y4)
	ADDTO(32, (R10), Y5)
	ADDTO(0, (R10)(R9*1), Y6)
	ADDTO(32, (R10)(R9*1), Y7)
	VZEROUPPER
	RET

// func tile4(k int, a, b, c *float64, ldc int)
TEXT ·tile4(SB), NOSPLIT, $0-40
	TILE_ARGUMENTS
	CLEAR4(Y0, Y1, Y2, Y3)
	MOVQ CX, BX
	SHRQ $1, BX
	JZ   rest4

two4:
	STEP4(0)
	STEP4(1)
	ADDQ $192, SI
	ADDQ $64, DI
	DECQ BX
	JNZ  two4

rest4:
	ANDQ $1, CX
	JZ   store4
	STEP4(0)

store4:
	ADDTO(0, (R8), Y0)
	ADDTO(0, (R8)(R9*1), Y1)
	ADDTO(0, (R10), Y2)
	ADDTO(0, (R10)(R9*1), Y3)
	VZEROUPPER
	RET

// Triangular kernel: column c of the rows at hand is in Yc (before scaling), R8 and R11 address columns 0 and 4, R9
// and R10 are one and three column lengths in bytes.

#define LESS(L, W, ACC) \
	VBROADCASTSD (8*L)(DI), Y8; \
	VFNMADD231PD W, Y8, ACC

#define SCALED(C, W, AT) \
	VBROADCASTSD (8*C)(DX), Y9; \
	VMULPD W, Y9, Y9; \
	VMOVUPD Y9, AT; \
	CMPQ CX, $(C+1); \
	JEQ  next

// func eliminate(width, quads int, a *float64, lda int, l, inverse *float64)
TEXT ·eliminate(SB), NOSPLIT, $0-48
	MOVQ width+0(FP), CX
	MOVQ quads+8(FP), BX
	MOVQ a+16(FP), R8
	MOVQ lda+24(FP), R9
	SHLQ $3, R9
	MOVQ l+32(FP), DI
	MOVQ inverse+40(FP), DX
	LEAQ (R9)(R9*2), R10
	LEAQ (R8)(R9*4), R11
	TESTQ BX, BX
	JZ   done

rows:
	VMOVUPD (R8), Y0
	SCALED(0, Y0, (R8))
	VMOVUPD (R8)(R9*1), Y1
	LESS(8, Y0, Y1)
	SCALED(1, Y1, (R8)(R9*1))
	VMOVUPD (R8)(R9*2), Y2
	LESS(16, Y0, Y2)
	LESS(17, Y1, Y2)
	SCALED(2, Y2, (R8)(R9*2))
	VMOVUPD (R8)(R10*1), Y3
	LESS(24, Y0, Y3)
	LESS(25, Y1, Y3)
	LESS(26, Y2, Y3)
	SCALED(3, Y3, (R8)(R10*1))
	VMOVUPD (R11), Y4
	LESS(32, Y0, Y4)
	LESS(33, Y1, Y4)
	LESS(34, Y2, Y4)
	LESS(35, Y3, Y4)
	SCALED(4, Y4, (R11))
	VMOVUPD (R11)(R9*1), Y5
	LESS(40, Y0, Y5)
	LESS(41, Y1, Y5)
	LESS(42, Y2, Y5)
	LESS(43, Y3, Y5)
	LESS(44, Y4, Y5)
	SCALED(5, Y5, (R11)(R9*1))
	VMOVUPD (R11)(R9*2), Y6
	LESS(48, Y0, Y6)
	LESS(49, Y1, Y6)
	LESS(50, Y2, Y6)
	LESS(51, Y3, Y6)
	LESS(52, Y4, Y6)
	LESS(53, Y5, Y6)
	SCALED(6, Y6, (R11)(R9*2))
	VMOVUPD (R11)(R10*1), Y7
	LESS(56, Y0, Y7)
	LESS(57, Y1, Y7)
	LESS(58, Y2, Y7)
	LESS(59, Y3, Y7)
	LESS(60, Y4, Y7)
	LESS(61, Y5, Y7)
	LESS(62, Y6, Y7)
	SCALED(7, Y7, (R11)(R10*1))

next:
	ADDQ $32, R8
	ADDQ $32, R11
	DECQ BX
	JNZ  rows

done:
	VZEROUPPER
	RET
