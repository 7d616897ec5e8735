namespace StageView.Wire.Datagrams;

/// <summary>Takes datagrams from the receiving thread, in batches.</summary>
internal interface IDatagramTaker
{
    /// <summary>Called before the datagrams of one batch; returns when the matter may go on.</summary>
    void BeginBatch();

    /// <param name="from">Sender.</param>
    /// <param name="socket">Index of the socket it came by.</param>
    /// <param name="payload">The datagram, valid during the call.</param>
    void Take(SourceAddress from, int socket, ReadOnlySpan<byte> payload);

    void EndBatch();

    /// <summary>Called at least every 100 ms when nothing arrives.</summary>
    void Idle();
}
