namespace StageView.Live.Terms;

/// <summary>Gives the moment to be drawn now, as bytes. From any thread.</summary>
internal interface IMoments
{
    /// <summary>Writes the newest moment into the buffer, which grows when it must; the length used.</summary>
    int Newest(ref byte[] buffer, out MomentHead head);

    /// <summary>The tables that moments of a version refer to.</summary>
    byte[] Tables(int version);
}
