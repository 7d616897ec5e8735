namespace StageView.App.Live;

/// <summary>Draws what the show looks like now. Made, called and disposed on one thread only.</summary>
internal interface ILivePictures : IDisposable
{
    /// <summary>What draws, for the page: the name of the renderer.</summary>
    string Renderer { get; }

    /// <summary>Draws the newest state; false when it is <paramref name="unless"/> still, and nothing was drawn.</summary>
    /// <exception cref="Exception">Anything: the pump throws this instance away and makes another.</exception>
    bool Draw(View view, ulong unless, Picture into);

    /// <summary>Called while nothing is drawn; throws when drawing has ended by itself.</summary>
    void Check();
}
