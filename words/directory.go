package words

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// checkDirectory makes sure that data is a TrueType or OpenType font or a
// collection of them, and that every table lies within it: the shaping library
// makes room for a table of whatever length the directory states, up to 4 GB.
// The layout is that of the OpenType specification 1.9, "Organization of an
// OpenType Font".
func checkDirectory(data []byte) error {
	if len(data) < 12 {
		return errors.New("it is not a TrueType or OpenType font")
	}
	if string(data[:4]) != "ttcf" {
		return checkTables(data, 0)
	}
	n := binary.BigEndian.Uint32(data[8:])
	if n == 0 || n > uint32(len(data)-12)/4 {
		return fmt.Errorf("the collection states %d fonts", n)
	}
	for i := range n {
		if err := checkTables(data, binary.BigEndian.Uint32(data[12+4*i:])); err != nil {
			return err
		}
	}
	return nil
}

// checkTables checks the table directory at an offset.
func checkTables(data []byte, offset uint32) error {
	if uint64(offset)+12 > uint64(len(data)) {
		return fmt.Errorf("a font of the collection at byte %d, beyond the end", offset)
	}
	directory := data[offset:]
	switch string(directory[:4]) {
	case "\x00\x01\x00\x00", "OTTO", "true":
	default:
		return errors.New("it is not a TrueType or OpenType font")
	}
	n := int(binary.BigEndian.Uint16(directory[4:]))
	if len(directory) < 12+16*n {
		return fmt.Errorf("cut short within its directory of %d tables", n)
	}
	for i := range n {
		record := directory[12+16*i:]
		start, length := binary.BigEndian.Uint32(record[8:]), binary.BigEndian.Uint32(record[12:])
		if uint64(start)+uint64(length) > uint64(len(data)) {
			return fmt.Errorf("cut short: its table %q ends at byte %d of %d", record[:4], uint64(start)+uint64(length), len(data))
		}
	}
	return nil
}
