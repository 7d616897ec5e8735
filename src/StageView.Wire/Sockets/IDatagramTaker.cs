namespace StageView.Wire.Sockets;

/// <summary>Takes datagrams from the receiving thread, in batches.</summary>
internal interface IDatagramTaker
{
    /// <summary>Called before the datagrams of one batch; returns when the matter may go on.</summary>
    void BeginBatch();

    void Take(SourceAddress from, ReadOnlySpan<byte> payload);

    void EndBatch();

    /// <summary>Called at least every 100 ms when nothing arrives.</summary>
    void Idle();
}
