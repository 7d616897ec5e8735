namespace StageView.Wire.Datagrams;

/// <summary>Sees every datagram as it arrives; called on the listening thread, so it must be quick.</summary>
public interface IDatagramTap
{
    /// <param name="at">Show time.</param>
    /// <param name="from">Sender.</param>
    /// <param name="to">The local address and port it came to; for a multicast group the address is 0.0.0.0 (or ::), since the system names the socket and not
    /// the group.</param>
    /// <param name="payload">UDP payload, valid during the call.</param>
    void OnDatagram(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload);

    /// <summary>No more datagrams are waiting just now.</summary>
    void OnBatchEnd()
    {
    }
}
