namespace StageView.Show.Sound;

/// <summary>Hears sound as it comes. Told by one thread.</summary>
public interface ISoundEar
{
    /// <summary>Sound begins, at first or anew.</summary>
    void Begun();

    /// <param name="samples">One channel, -1 to 1, at <see cref="SoundSource.SampleRate"/>.</param>
    void Hear(ReadOnlySpan<float> samples);

    /// <summary>It ended, or could not be begun.</summary>
    /// <param name="why">In words.</param>
    void Ended(string why);
}
