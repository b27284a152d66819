package flac

// subframe reads one channel of a frame, of so many bits a sample, at most 25 (RFC 9639, section
// 9.2). It is false where it can't be one; then the reader has an error.
func (r *bitReader) subframe(dst []int32, bits int) bool {
	head := r.take(8)
	if head&0x80 != 0 {
		return r.damaged()
	}
	kind, wasted := int(head>>1), 0
	if head&1 == 1 {
		wasted = r.zeros() + 1
	}
	if bits -= wasted; bits < 1 || r.err != nil {
		return r.damaged()
	}
	ok := true
	switch {
	case kind == 0:
		x := r.signed(bits)
		for i := range dst {
			dst[i] = x
		}
	case kind == 1:
		for i := range dst {
			dst[i] = r.signed(bits)
		}
	case kind >= 8 && kind <= 12:
		ok = r.fixed(dst, kind-8, bits)
	case kind >= 32:
		ok = r.linear(dst, kind-31, bits)
	default:
		ok = false
	}
	if !ok || r.err != nil {
		return r.damaged()
	}
	if wasted > 0 {
		for i := range dst {
			dst[i] <<= wasted
		}
	}
	return true
}

// fixed reads a subframe whose samples are predicted by a polynomial through those before.
func (r *bitReader) fixed(dst []int32, order, bits int) bool {
	if !r.first(dst, order, bits) || !r.residual(dst, order) {
		return false
	}
	switch order {
	case 1:
		for i := 1; i < len(dst); i++ {
			dst[i] += dst[i-1]
		}
	case 2:
		for i := 2; i < len(dst); i++ {
			dst[i] += 2*dst[i-1] - dst[i-2]
		}
	case 3:
		for i := 3; i < len(dst); i++ {
			dst[i] += 3*(dst[i-1]-dst[i-2]) + dst[i-3]
		}
	case 4:
		for i := 4; i < len(dst); i++ {
			dst[i] += 4*(dst[i-1]+dst[i-3]) - 6*dst[i-2] - dst[i-4]
		}
	}
	return true
}

// first reads the samples that nothing predicts.
func (r *bitReader) first(dst []int32, order, bits int) bool {
	if order > len(dst) {
		return false
	}
	for i := range order {
		dst[i] = r.signed(bits)
	}
	return true
}

// linear reads a subframe whose samples are predicted from as many before as its order is, with
// weights of its own.
func (r *bitReader) linear(dst []int32, order, bits int) bool {
	if !r.first(dst, order, bits) {
		return false
	}
	precision := int(r.take(4)) + 1
	shift := r.signed(5)
	if precision == 16 || shift < 0 {
		return false
	}
	var weights [32]int64 // of the oldest sample first
	for i := range order {
		weights[order-1-i] = int64(r.signed(precision))
	}
	if !r.residual(dst, order) {
		return false
	}
	w := weights[:order]
	for i := order; i < len(dst); i++ {
		before := dst[i-order : i]
		var sum int64
		for k, x := range before[:len(w)] {
			sum += w[k] * int64(x)
		}
		dst[i] += int32(sum >> shift)
	}
	return true
}

// residual reads by what the samples behind the first ones are off: in parts, each with a Rice code
// of its own (section 9.2.7).
func (r *bitReader) residual(dst []int32, order int) bool {
	method := r.take(2)
	if method > 1 {
		return false
	}
	width := 4 + int(method) // bits of a parameter
	parts := 1 << r.take(4)
	each := len(dst) / parts
	if each*parts != len(dst) || each < order {
		return false
	}
	from := order
	for part := range parts {
		until := each * (part + 1)
		if parameter := int(r.take(width)); parameter == 1<<width-1 { // plain numbers
			bits := int(r.take(5))
			for i := from; i < until; i++ {
				dst[i] = r.signed(bits)
			}
		} else {
			r.rice(dst[from:until], parameter)
		}
		if r.err != nil {
			return false
		}
		from = until
	}
	return true
}
