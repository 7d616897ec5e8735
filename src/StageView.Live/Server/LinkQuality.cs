namespace StageView.Live.Server;

/// <param name="Format">How it is packed.</param>
/// <param name="Quality">0 to 100, of the packing; PNG ignores it.</param>
/// <param name="Scale">Of the picture's sides, above 0 to 1.</param>
internal readonly record struct QualityRung(FrameFormat Format, int Quality, float Scale);

/// <summary>
/// Chooses how a viewer's frames are packed from what its link did with the last ones: down at once when a frame took
/// long to be shown, up only after a calm stretch. Rung 0 is the best.
/// </summary>
/// <param name="pinned">A rung to stay on whatever happens, for measuring; null to follow the link.</param>
internal sealed class LinkQuality(int? pinned = null)
{
    /// <summary>A frame that takes longer from sending to being shown asks for less, ms.</summary>
    public const double TooSlowMs = 150;

    /// <summary>Frames shown faster than this, calm after calm, allow more, ms.</summary>
    public const double CalmMs = 60;

    private const int CalmFrames = 24;

    private static readonly QualityRung[] Ladder =
    [
        new(FrameFormat.Jpeg, 88, 1),
        new(FrameFormat.Jpeg, 76, 1),
        new(FrameFormat.Jpeg, 66, .8f),
        new(FrameFormat.Jpeg, 55, .64f),
        new(FrameFormat.WebP, 50, .5f),
        new(FrameFormat.WebP, 35, .35f),
    ];

    private int _rung = pinned ?? 1;
    private int _calm;
    private double _scaleForDrawing = 1;

    public byte Rung => (byte)_rung;

    public static int Rungs => Ladder.Length;

    /// <summary>For the next frame of a picture that moves.</summary>
    public QualityRung Moving
    {
        get
        {
            var rung = Ladder[_rung];
            return rung with { Scale = (float)Math.Max(.3, rung.Scale * _scaleForDrawing) };
        }
    }

    /// <summary>For the one frame sent again when the picture has come to rest.</summary>
    public QualityRung Resting => _rung switch
    {
        0 => new QualityRung(FrameFormat.Png, 100, 1),
        <= 2 => new QualityRung(FrameFormat.Jpeg, 92, 1),
        _ => new QualityRung(FrameFormat.WebP, 70, 1),
    };

    /// <summary>A frame was shown.</summary>
    /// <param name="sentToShownMs">From before it was sent until the viewer said it is on the screen, without the link's bare round trip, ms.</param>
    /// <param name="resting">Frames of a picture at rest are large on purpose and tell nothing.</param>
    public void Shown(double sentToShownMs, bool resting)
    {
        if (resting || pinned is not null)
        {
            return;
        }

        if (sentToShownMs > TooSlowMs)
        {
            _rung = Math.Min(Ladder.Length - 1, _rung + (sentToShownMs > 4 * TooSlowMs ? 2 : 1));
            _calm = 0;
        }
        else if (sentToShownMs < CalmMs && ++_calm >= CalmFrames)
        {
            _rung = Math.Max(0, _rung - 1);
            _calm = 0;
        }
    }

    /// <summary>A frame was drawn: a slow renderer draws smaller while the picture moves.</summary>
    public void Drawn(double milliseconds, bool resting)
    {
        if (resting || pinned is not null)
        {
            return;
        }

        if (milliseconds > 140)
        {
            _scaleForDrawing = Math.Max(.3, _scaleForDrawing * .85);
        }
        else if (milliseconds < 70)
        {
            _scaleForDrawing = Math.Min(1, _scaleForDrawing * 1.04);
        }
    }
}
