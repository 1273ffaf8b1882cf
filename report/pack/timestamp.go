package pack

import (
	"crypto/x509/pkix"
	"encoding/asn1"
)

// timeStampReq is the TimeStampReq of RFC 3161, section 2.4.1, without the
// optional policy, nonce and extensions.
type timeStampReq struct {
	Version        int
	MessageImprint messageImprint
	CertReq        bool
}

type messageImprint struct {
	HashAlgorithm pkix.AlgorithmIdentifier
	HashedMessage []byte
}

var idSHA256 = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 1}

// TimestampRequest is a request, in DER, for a time-stamp of RFC 3161 over a
// file with this SHA-256. It asks for the signer's certificate with the answer
// and has no nonce, so that the same file gives the same request. Nothing is
// sent: the user submits it to an authority of their choice.
func TimestampRequest(sum [32]byte) ([]byte, error) {
	return asn1.Marshal(timeStampReq{Version: 1, CertReq: true, MessageImprint: messageImprint{
		HashAlgorithm: pkix.AlgorithmIdentifier{Algorithm: idSHA256, Parameters: asn1.NullRawValue},
		HashedMessage: sum[:],
	}})
}
