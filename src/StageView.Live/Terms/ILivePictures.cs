namespace StageView.Live.Terms;

/// <summary>Draws what the show looks like now. Made, called and disposed on one thread only.</summary>
internal interface ILivePictures : IDisposable
{
    /// <summary>What draws, for the page: the name of the renderer.</summary>
    string Renderer { get; }

    /// <summary>Draws the newest state, or says why it was not drawn.</summary>
    /// <param name="of">Whose state; the house's when null.</param>
    /// <param name="unless">Not when the state still has this fingerprint, or this essence.</param>
    /// <param name="onlyIf">Not when its essence is no longer this, nor to its end when that changes meanwhile; 0 for any.</param>
    /// <param name="watch">Follows a picture that <paramref name="onlyIf"/> is given for, or null.</param>
    /// <exception cref="Exception">Anything: the pump throws this instance away and makes another.</exception>
    DrawOutcome Draw(Viewpoint view, ulong unless, ulong onlyIf, Picture into, IDrawWatch? watch = null, IMoments? of = null);

    /// <summary>Called while nothing is drawn; throws when drawing has ended by itself.</summary>
    void Check();
}
