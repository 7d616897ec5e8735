namespace StageView.Wire.Sockets;

/// <summary>Sees every datagram as it arrives; called on the listening thread, so it must be quick.</summary>
public interface IDatagramTap
{
    /// <param name="at">Show time.</param>
    /// <param name="from">Sender.</param>
    /// <param name="payload">UDP payload, valid during the call.</param>
    void OnDatagram(TimeSpan at, SourceAddress from, ReadOnlySpan<byte> payload);
}
