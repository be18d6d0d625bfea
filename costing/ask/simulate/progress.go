package simulate

// progress tells of the work done in steps of about a hundredth. It counts
// in blocks and tells in what a block consists of.
type progress struct {
	tell        func(done, total int)
	total, last int // blocks
	perBlock    int
}

func newProgress(total, perBlock int, tell func(done, total int)) *progress {
	return &progress{tell: tell, total: total, perBlock: perBlock}
}

// blocks tells that some blocks are done, if that is news.
func (p *progress) blocks(done int) {
	if p.tell == nil || done >= p.total || 100*(done-p.last) < p.total {
		return
	}
	p.last = done
	p.tell(done*p.perBlock, p.total*p.perBlock)
}

// end tells that everything is done, in that many blocks.
func (p *progress) end(blocks int) {
	if p.tell != nil {
		p.tell(blocks*p.perBlock, blocks*p.perBlock)
	}
}
